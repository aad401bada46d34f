"""The same answers on a local web page: a form, the runs it starts, what they found."""
