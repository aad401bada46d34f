"""The greenhouse: from what a tape measure finds to the numbers of the hourly kernel."""
