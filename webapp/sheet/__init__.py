"""The sheet: a pack under its answers as PDF, to hang on the wall and to hand over after the job."""

from .errors import SheetError
from .page import sheet_html
from .passed import Passed, read_passed
from .pdf import make_sheet

__all__ = ["Passed", "SheetError", "make_sheet", "read_passed", "sheet_html"]
