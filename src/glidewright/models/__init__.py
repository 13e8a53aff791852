"""Pure physics: numbers or arrays in, numbers or arrays out."""
