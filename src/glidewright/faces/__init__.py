"""What a person or a program sees: report, command line, pages."""
