"""Addresses of the `kits` app."""

from django.urls import URLPattern, URLResolver, path

from kits.views import board, home, join, kit, layout, my_kit, project_panels, roster, sheets, sign_in, submission, workshops

app_name = "kits"

urlpatterns: list[URLPattern | URLResolver] = [
    path("", home.home, name="home"),
    path("sign-in/", sign_in.SignIn.as_view(), name="sign-in"),
    path("sign-out/", sign_in.SignOut.as_view(), name="sign-out"),
    path("join/", join.join, name="join"),
    path("join/<str:code>/", join.join_by_link, name="join-by-link"),
    path("leave/", join.leave, name="leave"),
    path("my-kit/", my_kit.my_kit, name="my-kit"),
    path("my-kit/findings/", my_kit.my_findings, name="my-findings"),
    path("my-kit/help/", my_kit.my_help, name="my-help"),
    path("my-kit/stage/", my_kit.my_stage, name="my-stage"),
    path("workshops/", workshops.workshops, name="workshops"),
    path("workshops/new/", workshops.new_workshop, name="workshop-new"),
    path("workshops/<int:workshop_id>/", board.board, name="board"),
    path("workshops/<int:workshop_id>/rows/", board.board_rows, name="board-rows"),
    path("workshops/<int:workshop_id>/bulk/", board.bulk, name="bulk"),
    path("workshops/<int:workshop_id>/learners/", roster.roster, name="roster"),
    path("workshops/<int:workshop_id>/learners/kits/", roster.who_makes_what, name="who-makes-what"),
    path("workshops/<int:workshop_id>/kits/", roster.more_kits, name="more-kits"),
    path("kits/<int:kit_id>/", kit.kit, name="kit"),
    path("kits/<int:kit_id>/layout/", layout.layout, name="layout"),
    path("kits/<int:kit_id>/layout/save/", layout.layout_save, name="layout-save"),
    path("kits/<int:kit_id>/hand-in/", layout.hand_in, name="hand-in"),
    path("kits/<int:kit_id>/let-pass/", kit.kit_let_pass, name="let-pass"),
    path("kits/<int:kit_id>/let-pass/drop/", kit.drop_let_pass, name="drop-let-pass"),
    path("kits/<int:kit_id>/stage/", kit.kit_stage, name="kit-stage"),
    path("kits/<int:kit_id>/code/", kit.new_code, name="new-code"),
    path("kits/<int:kit_id>/help-given/", board.help_given, name="help-given"),
    path("kits/<int:kit_id>/layout/", layout.layout, name="layout"),
    path("kits/<int:kit_id>/layout/save/", layout.layout_save, name="layout-save"),
    path("kits/<int:kit_id>/layout/hand-in/", layout.hand_in, name="hand-in"),
    path("kits/<int:kit_id>/step-sheet.pdf", sheets.step_sheet, name="step-sheet"),
    path("kits/<int:kit_id>/materials.pdf", sheets.materials, name="materials"),
    path("submissions/<int:submission_id>/", submission.submission, name="submission"),
    path("submissions/<int:submission_id>/decide/", submission.decide, name="decide"),
    path("projects/<int:project_id>/layout/", layout.example_layout, name="example-layout"),
    path("projects/<int:project_id>/layout/save/", layout.example_layout_save, name="example-layout-save"),
    path("projects/<int:project_id>/layout/", layout.example_layout, name="example-layout"),
    path("projects/<int:project_id>/layout/save/", layout.example_layout_save, name="example-layout-save"),
    path("projects/<int:project_id>/publish/", project_panels.publish_project, name="publish-project"),
    path("projects/<int:project_id>/report/", project_panels.report_panel, name="project-report"),
    path("projects/<int:project_id>/plan/", project_panels.plan_panel, name="project-plan"),
    path("projects/<int:project_id>/materials/", project_panels.materials_panel, name="project-materials"),
]
