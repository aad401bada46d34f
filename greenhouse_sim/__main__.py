"""``python -m greenhouse_sim``."""

from greenhouse_sim.cli import main

if __name__ == "__main__":
    main()
