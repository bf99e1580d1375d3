"""The analyst: the built-in engine and any UCI engine behind one interface, with memory.

`Analyst` (in `questions`) is what everything else asks; `open_analyst` (in `settings`) makes the
one this user has chosen.
"""
