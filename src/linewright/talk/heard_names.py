"""Names of openings as recognisers misspell them.

**Source**: common practice, no source: what recognisers make of these names, from memory. Names that
are ordinary words as well count only before a word such as "defence".
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from linewright.talk.vocabulary import Token, words

_MISHEARD: dict[str, str] = {
    "Caro-Kann": "caro can, caro con, caro khan, caro kan, carro can, carrow can, karo can, karo kann,"
    " carol can, caro-can",
    "Ruy Lopez": "roy lopez, rui lopez, rue lopez, rory lopez, ruy lopes",
    "Najdorf": "night dorf, nigh dorf, naidorf, nydorf, nye dorf, night orf, knight dorf",
    "Grünfeld": "grunfield, greenfeld, grown feld, grumfeld, groon feld, grune feld",
    "Nimzo-Indian": "nimso indian, nemo indian, nimzo engine, nims o indian",
    "Philidor": "fill a door, filidor, phillidor, fillidor, philly door",
    "Alekhine": "alakine, alekine, alec hine, alyokhin, ale kine",
    "Benoni": "ben oni, benny oni, bennoni, benonie",
    "Scheveningen": "shevenigan, shave a ningen, chevening in, scheveningan",
    "Sveshnikov": "svesh nikov, sveshnikoff, fresh nikov, swesh nikov",
    "Scandinavian": "scandanavian, scandinavia in",
    "Trompowsky": "trompovsky, trompofsky, tromp owsky, trump ow ski",
    "Smith-Morra": "smith mora, smith morrow, smith moira",
    "Sicilian": "sicillian, cicilian, sisilian",
    "Winawer": "vinaver, vinawer, win aver",
    "Tarrasch": "tarash, tarrash, tar ash",
    "Leningrad": "lennon grad, lenin grad",
    "Catalan": "cattle ann, cata lan, catalonian",
}
_MISHEARD_BEFORE_A_NAME: dict[str, str] = {
    "Réti": "retty, redi, ready, wretty",
    "Pirc": "perk, peerts, peart, pierce",
    "Colle": "collie, coli, coley",
    "Torre": "tory, torrey, tori",
    "Benko": "banko, benco, bank oh",
    "Slav": "slob, slave, slaw",
    "Evans": "heavens, evan's",
    "Grünfeld": "greenfield",
    "Alekhine": "alcohol in, alkaline",
    "Catalan": "catalog",
    "Winawer": "win over",
}
_KINDS = words("defence defense opening gambit attack system variation game line setup")
_MOST = 3
"""No misheard name is longer (words)."""


def _table(names: dict[str, str]) -> dict[tuple[str, ...], str]:
    return {
        tuple(wrong.split()): name for name, heard in names.items() for wrong in heard.split(", ")
    }


_ANYWHERE = _table(_MISHEARD)
_BEFORE = _table(_MISHEARD_BEFORE_A_NAME)


def misheard_names(tokens: Sequence[Token]) -> Iterator[tuple[int, int, str]]:
    """Stretches of tokens that stand for an opening's name, with that name.

    **Cost**: linear in the tokens.
    """
    texts = [token.text for token in tokens]
    place = 0
    while place < len(texts):
        for size in range(_MOST, 0, -1):
            heard = tuple(texts[place : place + size])
            broken = any(token.gap >= 0.3 for token in tokens[place + 1 : place + size])
            kind = texts[place + size] if place + size < len(texts) else ""
            name = _ANYWHERE.get(heard) or (_BEFORE.get(heard) if kind in _KINDS else None)
            if name and not broken:
                yield place, place + size, name
                place += size - 1
                break
        place += 1
