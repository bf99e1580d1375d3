"""linewright: checked chess lessons, and everything students get, from one source."""

__version__ = "0.1.0"
