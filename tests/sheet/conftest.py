"""One invented pack that has something of everything a sheet prints, and its sheets read back."""

import io
import subprocess
from collections.abc import Callable
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from PIL import Image
from pypdf import PdfReader

from webapp.compile import compile_folder
from webapp.pack.compiled import CompiledPack
from webapp.sheet import make_sheet

LINK = "https://bay.test:8443/jobs/0123456789abcdef?drain-plug=yes"


@pytest.fixture(scope="session")
def pack() -> CompiledPack:
    """Return the compiled test pack."""
    result = compile_folder(Path(__file__).with_name("gearbox-cover"))
    assert result.pack, [finding.text() for finding in result.findings]
    return result.pack


class Printed:
    """A sheet read back."""

    def __init__(self, content: bytes) -> None:
        self.content = content
        self.reader = PdfReader(io.BytesIO(content))
        self.pages = [" ".join(page.extract_text().split()) for page in self.reader.pages]
        self.text = " ".join(self.pages)

    def images(self, dpi: int, last: int = -1) -> list[Image.Image]:
        """Return the pages, or those up to the last one asked for, as a laser printer sees them: in grey."""
        with TemporaryDirectory() as folder:
            command = ["pdftoppm", "-l", str(last), "-r", str(dpi), "-gray", "-png", "-", f"{folder}/page"]
            subprocess.run(command, input=self.content, check=True)
            return [Image.open(page).convert("L") for page in sorted(Path(folder).iterdir())]


@pytest.fixture(scope="session")
def printed(pack: CompiledPack) -> Callable[..., Printed]:
    """Return a function that prints the test pack; the same sheet is printed only once."""

    @cache
    def sheet(units: str = "us", paper: str = "a4", **answers: str) -> Printed:
        named = {question.replace("_", "-"): answer for question, answer in answers.items()}
        return Printed(make_sheet(pack, named, units, paper, LINK))

    return sheet
