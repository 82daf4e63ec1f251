"""`python -m planlint`."""

from planlint.cli import main

main()
