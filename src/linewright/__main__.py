"""`python -m linewright`."""

from linewright.cli import main

main()
