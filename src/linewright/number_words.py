"""Numbers in words: read, and said."""

from __future__ import annotations

UNITS = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen "
    "sixteen seventeen eighteen nineteen"
).split()
_TENS = "twenty thirty forty fifty sixty seventy eighty ninety".split()
TENS = {word: 10 * value for value, word in enumerate(_TENS, 2)}
NUMBERS = {word: value for value, word in enumerate(UNITS)} | TENS
"""Numbers in words; "a couple" is read by the phrases."""
NUMBER = (
    rf"(?:\d[\d,]*|(?:{'|'.join(TENS)})(?:[ -](?:{'|'.join(UNITS[1:10])}))?"
    rf"|{'|'.join(sorted(NUMBERS, key=len, reverse=True))}|a hundred)"
)
"""A number in digits or in words, to be looked for in a text; `number_said` reads it."""


def number_said(words: str) -> int:
    """The number that digits or words say.

    >>> [number_said(words) for words in ("1,200", "forty", "Twenty-one", "a hundred")]
    [1200, 40, 21, 100]
    """
    parts = words.lower().replace(",", "").replace("-", " ").split()
    if parts[0].isdecimal():
        return int(parts[0])
    return 100 if parts[0] == "a" else sum(NUMBERS[part] for part in parts)


def number_words(number: int) -> str:
    """A number below ten thousand as it is said; years and larger ones by their figures.

    >>> number_words(12), number_words(64), number_words(300), number_words(1972)
    ('twelve', 'sixty four', 'three hundred', 'nineteen seventy two')
    """
    if number < 20:
        return UNITS[number]
    if number < 100:
        tens, rest = divmod(number, 10)
        return _TENS[tens - 2] + (f" {UNITS[rest]}" if rest else "")
    if number < 1000:
        hundreds, rest = divmod(number, 100)
        return f"{UNITS[hundreds]} hundred" + (f" and {number_words(rest)}" if rest else "")
    if 1100 <= number < 2000 and number % 100 >= 10:
        return f"{number_words(number // 100)} {number_words(number % 100)}"
    if number < 10_000:
        thousands, rest = divmod(number, 1000)
        return f"{UNITS[thousands]} thousand" + (f" {number_words(rest)}" if rest else "")
    return " ".join(UNITS[int(digit)] for digit in str(number))
