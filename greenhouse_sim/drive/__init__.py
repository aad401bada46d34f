"""What the winter does to the greenhouse: everything that does not feed back, before the loop."""
