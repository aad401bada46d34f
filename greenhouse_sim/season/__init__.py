"""The winter, hour by hour: the compiled loop, its tally, and the ledger made of it."""
