"""Plain English about chess, read without a board: words, sentences, phrases.

`words` cuts a text into words, squares and moves; `sentences` finds its sentences and tells the
ones that assert nothing about the board; `hesitation` leaves out what only wins time, `contrast`
what is set against, `shorthand` writes notes out, `answers` puts questions together with their
answers and `narrative` brings stories in the past to the board they stand at; `recasting` brings
clauses to plain order and `wording` other ways to say a word to one; `phrases` gathers words into
sides, pieces, squares, files, numbers and moves and gives each clause a normal form that patterns
are matched against; `told_moves` reads the moves that such a form tells in words.
What a phrase means on a board is for `linewright.referents`.
"""
