"""Projects and their numbered revisions."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.contrib.auth.models import AbstractBaseUser, AnonymousUser
from django.core.validators import MinValueValidator
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from projects.circuit.document import Document
from projects.circuit.layout import Layout
from projects.stored import document_from, document_json

__all__ = ["DraftStep", "Frozen", "Project", "ProjectShare", "Revision"]


class Frozen(Exception):
    """Something that never changes was about to be changed."""


class ProjectQuerySet(models.QuerySet["Project"]):
    def owned_by(self, user: AbstractBaseUser | AnonymousUser) -> ProjectQuerySet:
        """Projects of this user's own: those that they may share."""
        return self.filter(owner_id=user.pk) if user.is_authenticated else self.none()

    def open_to(self, user: AbstractBaseUser | AnonymousUser) -> ProjectQuerySet:
        """Projects that this user may see and change: their own, and those shared with them for editing."""
        return self._with_shares(user, models.Q(may_edit=True))

    def seen_by(self, user: AbstractBaseUser | AnonymousUser) -> ProjectQuerySet:
        """Projects that this user may see, copy and use in a class: their own, and all that are shared with them."""
        return self._with_shares(user, models.Q())

    def _with_shares(self, user: AbstractBaseUser | AnonymousUser, which: models.Q) -> ProjectQuerySet:
        if not user.is_authenticated:
            return self.none()
        shared = ProjectShare.objects.filter(which, project=models.OuterRef("pk"), user_id=user.pk)
        return self.filter(models.Q(owner_id=user.pk) | models.Exists(shared))


class Project(models.Model):
    """What a class makes; its content lives in revisions."""

    owner = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="projects")
    title = models.CharField(_("title"), max_length=200)
    created = models.DateTimeField(default=timezone.now, editable=False)

    objects = ProjectQuerySet.as_manager()

    class Meta:
        ordering = ["title", "pk"]

    def __str__(self) -> str:
        return self.title

    def newest(self) -> Revision:
        """The draft if there is one, else the newest published revision; every project has one."""
        return self.revisions.latest("number")

    def draft(self) -> Revision:
        """The revision that may be changed; made from the newest published one where there is none.

        Call it inside a transaction.
        """
        newest = self.newest()
        if newest.published_at is None:
            return newest
        return self.revisions.create(
            number=newest.number + 1, document=newest.document, layout_version=newest.layout_version
        )


class RevisionQuerySet(models.QuerySet["Revision"]):
    def published(self) -> RevisionQuerySet:
        """Revisions that workshops may use."""
        return self.filter(published_at__isnull=False)


class Revision(models.Model):
    """One numbered state of a project: a whole project file, with the example layout.

    A draft until it is published, and from then on never changed. `layout_version` counts the saves of a
    draft, so that two open pages never overwrite each other in silence; the next draft counts on from there.
    """

    project = models.ForeignKey(Project, on_delete=models.CASCADE, related_name="revisions")
    number = models.PositiveIntegerField(validators=[MinValueValidator(1)])
    document = models.JSONField()
    layout_version = models.PositiveIntegerField(default=0)
    published_at = models.DateTimeField(null=True, blank=True)

    objects = RevisionQuerySet.as_manager()

    class Meta:
        ordering = ["project", "number"]
        constraints = [
            models.UniqueConstraint(fields=["project", "number"], name="one_revision_a_number"),
            models.UniqueConstraint(
                fields=["project"], condition=models.Q(published_at__isnull=True), name="one_draft_a_project"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.project} · {self.number}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Raises Frozen for a revision that was published before."""
        if self.pk is not None and Revision.objects.published().filter(pk=self.pk).exists():
            raise Frozen(f"Revision {self} is published.")
        super().save(*args, **kwargs)

    @property
    def is_draft(self) -> bool:
        return self.published_at is None

    def read(self) -> Document:
        """The whole project file as a value."""
        return document_from(self.document)

    def put(self, document: Document) -> None:
        """Hold this document from now on; the caller saves."""
        self.document = document_json(document)
        self.layout_version += 1

    def put_layout(self, layout: Layout) -> None:
        """Hold this example layout from now on; the caller saves."""
        self.put(self.read().with_layout(layout))


class DraftStep(models.Model):
    """One edit of a draft: what it did, and the document to go back to, so that it can be undone and done again.

    `after_version` is the draft's version once it was done: only while the draft still has it can it be undone. Once
    it is `undone`, `other` is the document after it, and `after_version` the draft's version without it.
    """

    project = models.ForeignKey(Project, on_delete=models.CASCADE, related_name="draft_steps")
    number = models.PositiveIntegerField()
    after_version = models.PositiveIntegerField()
    said = models.CharField(max_length=300)
    other = models.JSONField()
    undone = models.BooleanField(default=False)
    user = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["project", "pk"]

    def __str__(self) -> str:
        return f"{self.project} · {self.said}"


class ProjectShare(models.Model):
    """A colleague on the same site who may see a project, or edit it.

    `name` is what the owner typed. Whether there is such a user is never told: a name without one is kept alike, and
    opens nothing. `opened_at`: when the colleague first looked at the project.
    """

    project = models.ForeignKey(Project, on_delete=models.CASCADE, related_name="shares")
    name = models.CharField(_("user name"), max_length=150)
    user = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.CASCADE, related_name="shared_projects"
    )
    may_edit = models.BooleanField(_("may edit"), default=False)
    opened_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["project", "name"]
        constraints = [models.UniqueConstraint(fields=["project", "name"], name="one_share_a_name")]

    def __str__(self) -> str:
        return f"{self.project} · {self.name}"
