"""The class and each kit: one file a model."""

from kits.models.event import Event, Remark
from kits.models.failed_try import FailedTry
from kits.models.kit import Kit, KitLearner
from kits.models.learner import Learner
from kits.models.let_pass import LetPass
from kits.models.mark import Mark, MarkComment
from kits.models.photo import Photo
from kits.models.print_job import PrintJob
from kits.models.school_notes import SchoolNotes
from kits.models.session import Session
from kits.models.session_goal import SessionGoal
from kits.models.short_code import ShortCode
from kits.models.staff import Cover, Invitation
from kits.models.stock_item import StockItem, StockOffer
from kits.models.stock_movement import StockMovement
from kits.models.submission import Submission
from kits.models.tool_count import ClosingReason, ToolClosing, ToolCount, ToolKind, ToolTray
from kits.models.workshop import Workshop

__all__ = [
    "ClosingReason",
    "Cover",
    "Event",
    "FailedTry",
    "Invitation",
    "Kit",
    "KitLearner",
    "Learner",
    "LetPass",
    "Mark",
    "MarkComment",
    "Photo",
    "PrintJob",
    "Remark",
    "SchoolNotes",
    "Session",
    "SessionGoal",
    "ShortCode",
    "StockItem",
    "StockMovement",
    "StockOffer",
    "Submission",
    "ToolClosing",
    "ToolCount",
    "ToolKind",
    "ToolTray",
    "Workshop",
]
