"""Many sheets as one PDF: laid out by two processes, a few sheets at a time, then joined in order.

Laying out one document of all sheets would gain nothing and would break "page x of y", so each sheet keeps pages of
its own. The processes run without the garbage collector, which would take a third of their time.
"""

from __future__ import annotations

import gc
import os
import signal
import tempfile
import threading
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from itertools import islice
from multiprocessing import get_context
from multiprocessing.context import BaseContext
from pathlib import Path

from kits.sheets.html import HtmlSheet
from kits.sheets.join import join
from kits.sheets.render import Paper, pdf_of_html

__all__ = ["Stopped", "make_pack"]

_PROCESSES = 2
_IN_HAND = 2 * _PROCESSES  # batches given out at once: enough to keep both busy, few enough to stop soon
_SWEEP_EVERY = 8  # batches of one process; so that a large class does not fill the memory

_batches_made = 0


class Stopped(Exception):
    """The pack was given up because `go_on` said so."""


def make_pack(
    batches: Iterable[Sequence[HtmlSheet]], paper: Paper, target: Path, go_on: Callable[[int], bool], title: str = ""
) -> int:
    """Write all sheets into `target`, whole or not at all, and return the number of pages.

    `batches` are rendered one by one; `go_on` is called with the number of those that are done, at least once a second,
    and ends it by returning False. Raises Stopped then, and whatever a sheet's rendering raises.
    """
    target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    draft = target.with_name(f".{target.name}.{os.getpid()}")
    try:
        with tempfile.TemporaryDirectory(prefix="pack-", dir=target.parent) as folder:
            files = list(_rendered(batches, paper, Path(folder), go_on))
            descriptor = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
            with os.fdopen(descriptor, "wb") as file:
                pages = join(files, file, title)
                file.flush()
                os.fsync(file.fileno())
        os.replace(draft, target)
    finally:
        draft.unlink(missing_ok=True)
    return pages


def _rendered(
    batches: Iterable[Sequence[HtmlSheet]], paper: Paper, folder: Path, go_on: Callable[[int], bool]
) -> Iterator[Path]:
    """The batches as files in order; both processes are at work while this one prepares the next batches."""
    pool = ProcessPoolExecutor(_PROCESSES, mp_context=_context(), initializer=_begin, initargs=(os.getpid(),))
    try:
        pool.submit(os.getpid).result()  # fork now, before `batches` opens files or connections
        numbered = enumerate(batches)
        under_way: set[Future[None]] = set()
        files: list[Path] = []
        done = 0
        while True:
            for number, batch in islice(numbered, _IN_HAND - len(under_way)):
                files.append(folder / f"{number:05}.pdf")
                under_way.add(pool.submit(_render, list(batch), paper, files[-1]))
                if not go_on(done):
                    raise Stopped
            if not under_way:
                break
            ready, under_way = wait(under_way, timeout=1.0, return_when=FIRST_COMPLETED)
            for future in ready:
                future.result()
            done += len(ready)
            if not go_on(done):
                raise Stopped
        yield from files
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _context() -> BaseContext:
    """Forking is quick, since all is loaded; with other threads about it is not safe."""
    return get_context("fork" if threading.active_count() == 1 else "spawn")


def _begin(parent: int) -> None:
    """In each process: no collector, no handlers of the parent, and an end when the parent is gone."""
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C reaches all: the parent says what to do
    gc.disable()
    gc.freeze()
    threading.Thread(target=_end_with, args=(parent,), daemon=True).start()


def _end_with(parent: int) -> None:
    while os.getppid() == parent:
        time.sleep(1.0)
    os._exit(1)


def _render(sheets: Sequence[HtmlSheet], paper: Paper, path: Path) -> None:
    global _batches_made
    path.write_bytes(pdf_of_html(sheets, paper))
    _batches_made += 1
    if _batches_made % _SWEEP_EVERY == 0:
        gc.collect()
