"""What runs in the background worker (`manage.py db_worker`, which `manage.py serve` starts)."""

from __future__ import annotations

from django_tasks import task

from kits.services.print_pack import run_job

__all__ = ["make_print_job"]


@task()
def make_print_job(job_id: int) -> None:
    """Make the PDF of a print job."""
    run_job(job_id)
