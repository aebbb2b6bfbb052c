"""The sheet: a pack under its answers as PDF, to hang on the wall and to hand over after the job."""

from .errors import SheetError
from .page import sheet_html
from .pdf import make_sheet

__all__ = ["SheetError", "make_sheet", "sheet_html"]
