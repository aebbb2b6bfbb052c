"""HTML of a sheet → tagged PDF (PDF/UA-1). The only module that meets WeasyPrint, and it does so late."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar
from urllib.parse import urlsplit

from webapp.pack.compiled import CompiledPack, Picture

from .errors import SheetError
from .page import Paper, Units, sheet_html
from .passed import Passed

if TYPE_CHECKING:
    from types import ModuleType

NOWHERE = "https://pack.invalid/"
"""What pictures are addressed from. The name cannot exist (RFC 2606), and nothing is ever fetched from it."""


def make_sheet(
    pack: CompiledPack,
    answers: dict[str, str],
    units: Units,
    paper: Paper,
    link: str = "",
    passed: tuple[Passed, ...] = (),
) -> bytes:
    """Return the sheet of a pack as a PDF: tagged, with bookmarks, the same bytes for the same arguments.

    answers: question → answer; a question without one is printed with boxes. units: us, si, or both, the
    author's first. paper: a4 or letter. link: the address of the job, for the QR code; none, no code,
    and a loopback address is printed without one, because no phone gets there. passed: what was passed at the
    vehicle with something open, with its reason; none, and there are lines to write it on.

    Raises AnswerError for an answer that the pack does not offer; SheetError for a picture that is not the
    pack's own, and when the system lacks what WeasyPrint needs.

    Same bytes: with HarfBuzz's subsetter (Debian: libharfbuzz-subset0), which writes no time into fonts.
    """
    return print_html(sheet_html(pack, answers, units, paper, link, passed), pack.pictures)


def print_html(html: str, pictures: tuple[Picture, ...]) -> bytes:
    """Return the PDF of a sheet's HTML. pictures: all that it may show."""
    fetcher = own_pictures(pictures)
    document = load().HTML(string=html, base_url=NOWHERE, url_fetcher=fetcher)
    content = bytes(
        document.write_pdf(pdf_variant="pdf/ua-1", optimize_images=True, dpi=200, jpeg_quality=80)
    )
    if fetcher.refused:
        raise SheetError(
            f"the sheet shows “{fetcher.refused[0][:100]}”, which is not the pack's own",
            "a sheet is made from the pack alone, and fetches nothing from elsewhere",
            "Put the picture into the pack's folder",
        )
    return content


def load() -> ModuleType:
    """Return WeasyPrint, or raise the sentence that tells what the system lacks."""
    try:
        import weasyprint
        import weasyprint.urls
    except OSError as missing:
        raise SheetError(
            "PDF needs the library Pango, which this system lacks",
            f"it sets the type ({missing})".replace("\n", " "),
            "Install libpango-1.0-0, libpangoft2-1.0-0, libharfbuzz-subset0 and fonts-dejavu-core, "
            "or print the job's page from the browser",
        ) from missing
    return weasyprint


def own_pictures(pictures: tuple[Picture, ...]) -> Any:
    """Return a fetcher that knows these pictures and refuses everything else, from network and disk alike."""
    urls: Any = load().urls
    known = {f"/pictures/{picture.file}": picture for picture in pictures}

    class OwnPictures(urls.URLFetcher):  # type: ignore[misc]
        """Answers from the pack's memory, and notes what it refused."""

        refused: ClassVar[list[str]] = []

        def fetch(self, url: str, headers: Any = None) -> Any:
            picture = known.get(urlsplit(url).path) if url.startswith(NOWHERE) else None
            if picture is None:
                self.refused.append(url)
                raise ValueError("not one of the pack's pictures")
            return urls.URLFetcherResponse(url, picture.content, {"Content-Type": picture.media_type})

    return OwnPictures()
