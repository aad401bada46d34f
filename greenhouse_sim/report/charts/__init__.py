"""Pictures: each function draws one and returns the figure."""
