"""Addresses of what happens before and after a class: set-up, sessions, tools, helpers, marks, data."""

from django.urls import URLPattern, URLResolver, path

from kits.views import erase, marks, quick_start, roster_list, sessions, set_up, staff, tools

__all__ = ["class_patterns"]

class_patterns: list[URLPattern | URLResolver] = [
    path("quick-start/", quick_start.quick_start, name="quick-start"),
    path("demo-projects/", quick_start.demo_projects, name="demo-projects"),
    path("invitation/", staff.invitation, name="invitation"),
    path("workshops/<int:workshop_id>/set-up/", set_up.set_up, name="set-up"),
    path("workshops/<int:workshop_id>/details/", set_up.details, name="details"),
    path("workshops/<int:workshop_id>/copy/", set_up.copy, name="copy-workshop"),
    path("workshops/<int:workshop_id>/codes/new/", set_up.new_codes, name="new-codes"),
    path("workshops/<int:workshop_id>/learners/list/", roster_list.roster_list, name="roster-list"),
    path("workshops/<int:workshop_id>/sessions/", sessions.sessions, name="sessions"),
    path("workshops/<int:workshop_id>/tools/", tools.tools, name="tools"),
    path("workshops/<int:workshop_id>/today/", staff.class_today, name="class-today"),
    path("workshops/<int:workshop_id>/helpers/", staff.helpers, name="helpers"),
    path("workshops/<int:workshop_id>/helpers/remove/", staff.remove_helper, name="remove-helper"),
    path("workshops/<int:workshop_id>/marks/", marks.marks, name="marks"),
    path("workshops/<int:workshop_id>/marks.csv", marks.marks_csv, name="marks-csv"),
    path("workshops/<int:workshop_id>/marks.pdf", marks.marks_sheet, name="marks-sheet"),
    path("workshops/<int:workshop_id>/erase/", erase.erase, name="erase"),
    path("learners/<int:learner_id>/", roster_list.learner, name="learner"),
    path("learners/<int:learner_id>/erase/", roster_list.erase_one, name="erase-learner"),
    path("sessions/<int:session_id>/", sessions.session, name="session"),
    path("sessions/<int:session_id>/remove/", sessions.remove_session, name="session-remove"),
    path("sessions/<int:session_id>/plan.pdf", sessions.session_plan, name="session-plan"),
    path("sessions/<int:session_id>/tools/", tools.tool_count, name="tool-count"),
    path("sessions/<int:session_id>/tools/count/", tools.count_tools, name="count-tools"),
    path("sessions/<int:session_id>/tools/close/", tools.close_tools, name="close-tools"),
    path("sessions/<int:session_id>/tool-count.pdf", tools.tool_sheet, name="tool-sheet"),
    path("kits/<int:kit_id>/marks/", marks.kit_marks, name="kit-marks"),
    path("kits/<int:kit_id>/record.pdf", marks.kit_record, name="kit-record"),
]
