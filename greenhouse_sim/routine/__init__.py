"""The grower: when they sleep, are away, look in, and what they do then."""
