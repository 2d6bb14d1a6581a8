"""The addresses of the line: swaps, their steps, their signatures."""

from django.urls import path

from equipment.findings.pages import openings as views_openings
from equipment.swaps.pages.cards import swap_paper_entry

from .pages import prints as views_prints
from .pages import signing as views_swap_signing
from .pages import steps as views_swap_steps
from .pages import swaps as views_swaps
from .pages import units as views_swap_units

urlpatterns = [
    path("", views_swaps.swap_list, name="swap_list"),
    path("start/", views_swaps.swap_start, name="swap_start"),
    path("paper/", swap_paper_entry, name="swap_paper"),
    path("inspections/", views_swaps.swap_inspections, name="swap_inspections"),
    path("calls/<int:call_id>/coming/", views_swaps.swap_coming, name="swap_coming"),
    path("<int:swap_id>/", views_swaps.swap, name="swap"),
    path("<int:swap_id>/print/", views_prints.swap_print, name="swap_print"),
    path("<int:swap_id>/here/", views_swaps.swap_presence, name="swap_presence"),
    path("<int:swap_id>/step/<int:number>/", views_swap_steps.swap_step, name="swap_step"),
    path("<int:swap_id>/step/<int:number>/judge/", views_swap_steps.swap_judge, name="swap_judge"),
    path("<int:swap_id>/step/<int:number>/call/", views_swap_steps.swap_call, name="swap_call"),
    path("<int:swap_id>/sign/", views_swap_signing.swap_sign, name="swap_sign"),
    path("<int:swap_id>/release/", views_swap_signing.swap_release, name="swap_release"),
    path("<int:swap_id>/hand-over/", views_swap_signing.swap_hand_over, name="swap_hand_over"),
    path("<int:swap_id>/off/", views_swap_units.swap_off, name="swap_off"),
    path("<int:swap_id>/on/", views_swap_units.swap_on, name="swap_on"),
    path("<int:swap_id>/leave-open/", views_openings.swap_leave_open, name="swap_leave_open"),
    path("<int:swap_id>/rob/", views_openings.swap_rob, name="swap_rob"),
    path("<int:swap_id>/abandon/", views_swap_units.swap_abandon, name="swap_abandon"),
    path("<int:swap_id>/correct/", views_swap_units.swap_correct, name="swap_correct"),
]
