"""``python -m broachplan``."""

from broachplan.cli.app import main

main()
