"""Model folders on disk: read with every error named, written whole or not at all."""
