"""The film: the board in step with the voice.

`views` says what is seen when, `canvas` paints it, `reel` encodes it with sound, captions and
chapters.
"""

from linewright.film.views import Film, Shape, Shot, View, film_of, shape_of

__all__ = ["Film", "Shape", "Shot", "View", "film_of", "shape_of"]
