"""Every word that the layout page's script says; learners read them, so they are short."""

from __future__ import annotations

from collections.abc import Mapping

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

__all__ = ["words"]


def words() -> Mapping[str, str | Promise]:
    """Text by key; what stands in braces is filled by the script."""
    return {**_STATES, **_THINGS, **_BUTTONS, **_HINTS, **_SPOKEN}


_STATES = {
    "state_saved": _("Saved"),
    "state_waiting": _("Not saved yet"),
    "state_saving": _("Saving …"),
    "state_kept": _("No network. Your plan is kept on this device. You can go on."),
    "state_unkept": _("No network, and this device cannot keep your plan. Leave this page open."),
    "state_asking": _("Stop: choose which plan to keep."),
    "state_refused": _("Not saved. Load this page again. Your plan is kept on this device."),
}
_THINGS = {
    "outside": _("outside"),
    "inside": _("inside"),
    "join": _("meeting point"),
    "cover": _("cover"),
    "piece": _("Piece"),
    "side": _("Side"),
    "turn": _("Turn, degrees"),
    "from": _("From"),
    "to": _("To"),
    "from_left": _("From the left, mm"),
    "from_top": _("From the top, mm"),
    "bend_left": _("Bend {number} from the left, mm"),
    "bend_top": _("Bend {number} from the top, mm"),
    "cover_size": _("From middle to edge, mm"),
    "from_to": _("{from} to {to}"),
    "fabric": _("Cloth, {side}: {pieces}. Use the Tab key to go from thing to thing, the arrow keys to move it."),
    "part_at": _("{ref}, {name}, {x} mm from the left, {y} mm from the top, {side}"),
    "line_between": _("Line {name}, {from} to {to}, {label}"),
    "join_at": _("Meeting point {name}, {x} mm from the left, {y} mm from the top"),
    "bend_at": _("Bend {number} of line {name}, {x} mm from the left, {y} mm from the top"),
    "bend_of": _("Bend {number} of line {name}"),
    "hole_of": _("{end}, joins {label}"),
    "mark_at": _("Mark {number}: {title}"),
    "cover_at": _("Cover, {x} mm from the left, {y} mm from the top"),
}
_BUTTONS = {
    "put_on": _("Put it on"),
    "put_on_named": _("Put it on: {ref}, {name}"),
    "put_this_on": _("Put {ref} on: {name}"),
    "show_finding": _("Show {number} on the cloth"),
    "to_put_on": _("Drag on to the cloth, or tap:"),
    "take_off": _("Take it off"),
    "put_inside": _("Put it inside"),
    "put_outside": _("Put it outside"),
    "turn_left_by": _("Turn left by {degrees} degrees"),
    "turn_right_by": _("Turn right by {degrees} degrees"),
    "add_bend": _("Add a bend"),
    "remove_bend": _("Take this bend out"),
    "add_line": _("Add this line"),
    "remove_line": _("Take this line out"),
    "meeting_point": _("Meeting point"),
    "add_join": _("Add a meeting point"),
    "remove_join": _("Take this meeting point out"),
    "back_one": _("Back one point"),
    "drop_line": _("Stop this line"),
    "add_cover": _("Add a cover"),
    "remove_cover": _("Take this cover out"),
    "smaller": _("Smaller"),
    "larger": _("Larger"),
    "keep_mine": _("Keep this plan"),
    "take_theirs": _("Keep the other plan"),
}
_HINTS = {
    "choose_something": _("Tap a part or a line. Drag it to move it."),
    "start_at_hole": _("Tap the metal hole where the line starts."),
    "how_to_go_on": _("Tap the cloth for a bend. Tap a metal hole to end the line."),
    "tap_for_cover": _("Tap the spot where two lines cross."),
    "pull_to_bend": _("Pull a small dot to make a bend."),
    "meet_needs_bend": _("First tap the cloth or a line where the threads meet."),
    "line_needs_parts": _("Put two parts on first. Then you can draw a line."),
    "two_ends": _("A line needs two ends that are not the same."),
    "stay_on_piece": _("This line is on the piece “{piece}”. End it there."),
    "holds_without_network": _("Today you can load this page again with no network."),
    "holds_while_open": _("If the network goes, leave this page open. Your work stays here."),
    "hand_in_ready": _("Ready to hand in."),
    "hand_in_one": _("Nearly there: 1 thing to put right first."),
    "hand_in_many": _("Not yet: {count} things to put right or to do first."),
    "hand_in_unsent": _("Not handed in: your plan is not saved yet. Try again when it says Saved."),
    "not_on_yet": _("{ref} is not on the cloth yet."),
    "two_plans": _("There are two plans for this kit"),
    "two_plans_why": _(
        "This plan was also changed on another page. Look at both, then keep one. Undo brings yours back."
    ),
    "two_plans_differ": _("Not the same in both: {names}."),
    "mine": _("The plan on this page"),
    "theirs": _("The other plan"),
}
_SPOKEN = {
    "chosen": _("{name} chosen."),
    "moved_to": _("{name}: {x} mm from the left, {y} mm from the top."),
    "turned": _("{ref} is turned by {degrees} degrees."),
    "now_on": _("{ref} is now {side}."),
    "put_on_done": _("{ref} is on the cloth. Move it where you want it."),
    "taken_off": _("{ref} is off the cloth."),
    "line_from": _("Line from {end}."),
    "line_to": _("The line ends at {end}."),
    "line_dropped": _("No line drawn."),
    "line_removed": _("Line {name} is out."),
    "bend_added": _("Bend added."),
    "bend_removed": _("Bend taken out."),
    "point_taken_back": _("Back one point."),
    "met": _("Meeting point {name} made."),
    "cover_added": _("Cover added."),
    "cover_removed": _("Cover taken out."),
    "join_removed": _("Meeting point {name} is out, with its lines."),
    "check_says": _("Check: {stops} to put right, {looks} to look at, {to_do} still to do."),
    "undone": _("Undone."),
    "redone": _("Done again."),
    "leave_unkept": _("This device cannot keep your last changes. If you leave now, they are lost."),
    "found_again": _("Your plan from before was still on this device. It is back."),
}
