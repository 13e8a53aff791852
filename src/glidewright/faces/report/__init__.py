"""A result as a document of sections, rows, figures and charts, and its renderers."""
