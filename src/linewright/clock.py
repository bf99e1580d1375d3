"""Times as people write them. All times are whole milliseconds."""

from __future__ import annotations


def clock(ms: int) -> str:
    """Minutes and seconds, as beside a paragraph or in a table of parts.

    >>> clock(83_400), clock(3_723_000)
    ('1:23', '1:02:03')
    """
    seconds = max(ms, 0) // 1000
    hours, rest = divmod(seconds, 3600)
    minutes, seconds = divmod(rest, 60)
    return f"{hours}:{minutes:02}:{seconds:02}" if hours else f"{minutes}:{seconds:02}"


def timestamp(ms: int, decimal: str = ".") -> str:
    """A caption time stamp `HH:MM:SS.mmm`.

    >>> timestamp(3_723_004), timestamp(500, ",")
    ('01:02:03.004', '00:00:00,500')
    """
    whole, thousandths = divmod(max(ms, 0), 1000)
    minutes, seconds = divmod(whole, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours:02}:{minutes:02}:{seconds:02}{decimal}{thousandths:03}"
