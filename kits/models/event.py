"""Events: the log of what happened to each kit, which is never rewritten."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from kits.models.append_only import AppendOnly
from kits.models.kit import Kit
from kits.models.learner import Learner
from kits.models.submission import Submission
from kits.models.workshop import Workshop

__all__ = ["Event", "Remark"]


class Event(AppendOnly):
    """One thing that happened to a kit; how far it is follows from its events alone.

    `stage` and `step` are names of the plan; `minutes` the planned minutes that this event got done (below zero
    where it took some back). `payload`: of a reading its `value` (null for open), of what was sewn differently its
    `lines`. Of attendance, `learner` is whose it is. What someone wrote is not here but in a Remark, which can be
    blanked when a learner is erased, while the event stays as it is.
    """

    class Kind(models.TextChoices):
        LAYOUT_BEGUN = "layout-begun", _("plan begun")
        LAYOUT_GIVEN = "layout-given", _("example layout given")
        HANDED_IN = "handed-in", _("handed in")
        ACCEPTED = "accepted", _("layout accepted")
        SENT_BACK = "sent-back", _("sent back")
        LET_PASS = "let-pass", _("finding let pass")
        STEP_DONE = "step-done", _("step done")
        STEP_UNDONE = "step-undone", _("step undone")
        STAGE_DONE = "stage-done", _("stage done")
        STAGE_UNDONE = "stage-undone", _("stage undone")
        LOOK_ASKED = "look-asked", _("look asked for")
        SIGNED_OFF = "signed-off", _("signed off")
        READING_TAKEN = "reading-taken", _("reading taken")
        SEWN_OTHERWISE = "sewn-otherwise", _("sewn differently")
        PHOTO = "photo", _("photo")
        ABSENT = "absent", _("absent")
        PRESENT = "present", _("present")
        HELP_ASKED = "help-asked", _("help asked")
        HELP_GIVEN = "help-given", _("help given")
        HELP_DROPPED = "help-dropped", _("help no longer needed")
        NOTE = "note", _("note")
        PACKED = "packed", _("packed")
        HANDED_OUT = "handed-out", _("handed out")
        TAKEN_BACK = "taken-back", _("kit taken back")
        SPARE_GIVEN = "spare-given", _("spare given")

    workshop = models.ForeignKey(Workshop, on_delete=models.CASCADE, related_name="events")
    kit = models.ForeignKey(Kit, on_delete=models.CASCADE, related_name="events")
    kind = models.CharField(max_length=16, choices=Kind.choices)
    stage = models.CharField(max_length=200, blank=True)
    step = models.CharField(max_length=200, blank=True)
    minutes = models.FloatField(null=True)
    submission = models.ForeignKey(Submission, null=True, on_delete=models.CASCADE, related_name="events")
    learner = models.ForeignKey(Learner, null=True, on_delete=models.RESTRICT, related_name="+")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    payload = models.JSONField(default=dict, blank=True)

    class Meta:
        ordering = ["pk"]
        indexes = [models.Index(fields=["workshop", "id"], name="event_newest_of_workshop")]

    def __str__(self) -> str:
        return f"{self.kit} · {self.kind} {self.stage}".strip()


class Remark(models.Model):
    """What someone wrote beside an event: a reason, a question, a note."""

    event = models.OneToOneField(Event, on_delete=models.CASCADE, related_name="remark")
    text = models.CharField(max_length=300, blank=True)

    def __str__(self) -> str:
        return self.text
