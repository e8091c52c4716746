"""Joining PDF files into one: pages, bookmarks, and the tags by which a screen reader finds its way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import BinaryIO

from pikepdf import Array, Dictionary, Name, Object, ObjectStreamMode, OutlineItem, Pdf, String

__all__ = ["join"]


def join(files: Sequence[Path], target: BinaryIO, title: str = "") -> int:
    """Write the files one after another into `target` and return the number of pages.

    The language is that of the first file, and so is the title where none is given. Raises ValueError for no files.
    """
    if not files:
        raise ValueError("There is no file to join.")
    joined, sources = Pdf.new(), [Pdf.open(path) for path in files]
    tags = _Tags(joined)
    with joined.open_outline() as outline:
        for source in sources:
            first = len(joined.pages)
            joined.pages.extend(source.pages)
            tags.take(source, first)
            outline.root.extend(_bookmarks(source, first))
    tags.write()
    joined.Root.Lang = String(str(sources[0].Root.get("/Lang", "en")))
    _name(joined, title or str(sources[0].docinfo.get("/Title", "")))
    joined.save(target, object_stream_mode=ObjectStreamMode.generate)
    return len(joined.pages)


def _name(joined: Pdf, title: str) -> None:
    """Title and producer, in both places where readers look."""
    with joined.open_metadata(set_pikepdf_as_editor=False) as metadata:
        metadata["dc:title"] = title
        metadata["xmp:CreatorTool"] = "Tieoff"
    joined.docinfo["/Title"] = title
    joined.docinfo["/Creator"] = "Tieoff"


def _bookmarks(source: Pdf, first: int) -> Iterator[OutlineItem]:
    """The bookmarks of a file whose first page is now page `first`, counted from 0."""
    numbers = {page.obj.objgen: number for number, page in enumerate(source.pages, first)}
    with source.open_outline() as outline:
        yield from (_moved(item, numbers) for item in outline.root)


def _moved(item: OutlineItem, numbers: dict[tuple[int, int], int]) -> OutlineItem:
    place = item.destination
    number = numbers.get(place[0].objgen, 0) if isinstance(place, Array) else 0
    left, top = (float(place[at]) for at in (2, 3)) if isinstance(place, Array) and len(place) > 3 else (0.0, 0.0)
    moved = OutlineItem(item.title, number, "XYZ", left=left, top=top)
    moved.children.extend(_moved(child, numbers) for child in item.children)
    return moved


class _Tags:
    """Structure trees, grafted one after another into a single tree (ISO 32000-1, 14.7)."""

    def __init__(self, joined: Pdf) -> None:
        self.joined = joined
        self.kids: list[Object] = []
        self.numbers: list[Object | int] = []
        self.next = 0

    def take(self, source: Pdf, first: int) -> None:
        """Graft the tree of a file whose pages were just added, from page `first` on."""
        if "/StructTreeRoot" not in source.Root:
            return
        # The pages are known to the joined file already, so the tree's own references lead to them.
        tree = self.joined.copy_foreign(source.Root.StructTreeRoot)
        offset = self.next
        for page in self.joined.pages[first:]:
            page.obj.StructParents = int(page.obj.StructParents) + offset
        numbers = list(tree.ParentTree.Nums)
        for key, value in zip(numbers[::2], numbers[1::2], strict=True):
            self.numbers += [int(key) + offset, value]
            self.next = max(self.next, int(key) + offset + 1)
        for document in tree.K:
            self.kids.extend(document.K)

    def write(self) -> None:
        """Hang the joined tree into the file, as one document."""
        if not self.kids:
            return
        joined = self.joined
        document = joined.make_indirect(Dictionary(Type=Name.StructElem, S=Name.Document, K=Array(self.kids)))
        for kid in self.kids:
            kid.P = document
        parents = joined.make_indirect(Dictionary(Nums=Array(self.numbers)))
        root = joined.make_indirect(
            Dictionary(Type=Name.StructTreeRoot, K=Array([document]), ParentTree=parents, ParentTreeNextKey=self.next)
        )
        document.P = root
        joined.Root.StructTreeRoot = root
        joined.Root.MarkInfo = Dictionary(Marked=True)
        joined.Root.ViewerPreferences = Dictionary(DisplayDocTitle=True)
