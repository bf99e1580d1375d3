"""Make the README's pictures anew from the example lessons: `python docs/pictures.py`.

Needs a Chromium on the path. The pictures are looked at before they are committed.
"""

from __future__ import annotations

import io
import shutil
from pathlib import Path
from typing import Any

from linewright.aids import aids_for
from linewright.build import edition_of, examine, load
from linewright.outputs import Edition
from linewright.outputs.handout import typst_source
from linewright.outputs.page import page_html
from linewright.outputs.proof import proof_html

HERE = Path(__file__).parent
EXAMPLES = HERE.parent / "examples"
PICTURES = HERE / "pictures"
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")


def edition(name: str) -> Edition:
    """What the outputs of an example lesson are made from."""
    return edition_of(examine(*load(EXAMPLES / name), aids_for), name)


def keep(name: str, png: bytes, colours: int = 160) -> None:
    """Writes a picture in few colours, which paper and ink are."""
    from PIL import Image

    picture = Image.open(io.BytesIO(png)).convert("RGB")
    few = picture.quantize(colours, Image.Quantize.MAXCOVERAGE, dither=Image.Dither.NONE)
    few.save(PICTURES / name, optimize=True)
    print(f"{name}: {(PICTURES / name).stat().st_size // 1024} kB")


def handout(lesson: Edition) -> None:
    """The first page of the handout."""
    import typst

    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=True)
    pages: Any = typst.compile(
        typst_source(lesson).encode(), format="png", ppi=96, font_paths=fonts
    )
    keep("handout.png", pages[0] if isinstance(pages, list) else pages)


def screens(lesson: Edition, faulty: Edition) -> None:
    """The page on a desk and on a phone in the dark, and the proof sheet."""
    from playwright.sync_api import sync_playwright

    path = next((path for name in BROWSERS if (path := shutil.which(name))), None)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"])

        def opened(html: str, width: int, height: int, scheme: str = "light") -> Any:
            size = {"width": width, "height": height}
            page = browser.new_context(viewport=size, color_scheme=scheme).new_page()
            page.set_content(html)
            return page

        page = opened(page_html(lesson), 1280, 800)
        page.get_by_text("b4 and b5").click()
        page.wait_for_timeout(1500)
        keep("page.png", page.screenshot())
        page = opened(page_html(lesson), 390, 844, "dark")
        page.get_by_text("Picture it with just kings").click()
        page.wait_for_timeout(1500)
        keep("phone.png", page.screenshot())
        page = opened(proof_html(faulty), 1280, 900)
        page.evaluate("document.querySelector('.heading').scrollIntoView()")
        page.wait_for_timeout(800)
        keep("proof.png", page.screenshot())
        browser.close()


def film(lesson: Edition) -> None:
    """A still of the film, in the middle of the trap."""
    from linewright.film import film_of
    from linewright.film.canvas import Canvas
    from linewright.film.views import SHAPES

    made = film_of(lesson.lesson, lesson.timeline, burnt=True)
    wanted = (s.view for s in made.shots if s.view.marks and "Nbd7" in str(s.view.card.line))
    view = next(wanted)
    canvas = Canvas(made, SHAPES["wide"])
    canvas.prepare([view])
    out = io.BytesIO()
    canvas.paint(view).resize((1280, 720)).save(out, "PNG")
    keep("film.png", out.getvalue())


def main() -> None:
    """Makes all pictures."""
    PICTURES.mkdir(exist_ok=True)
    lesson = edition("exchange-variation.md")
    handout(lesson)
    film(lesson)
    screens(lesson, edition("exchange-variation-with-faults.md"))


if __name__ == "__main__":
    main()
