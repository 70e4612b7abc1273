"""`python -m ampwright`."""

from ampwright.deliver.cli import main

main()
