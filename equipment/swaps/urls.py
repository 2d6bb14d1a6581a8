"""The addresses of the line: swaps, their steps, their signatures."""

from django.urls import path

from equipment.swaps.pages.cards import swap_paper_entry
from equipment.swaps.pages.step import views as steps

from .pages import prints, signing, swaps, units

urlpatterns = [
    path("", swaps.swap_list, name="swap_list"),
    path("start/", swaps.swap_start, name="swap_start"),
    path("paper/", swap_paper_entry, name="swap_paper"),
    path("mine/", swaps.swap_mine, name="swap_mine"),
    path("inspections/", swaps.swap_inspections, name="swap_inspections"),
    path("calls/<int:call_id>/coming/", swaps.swap_coming, name="swap_coming"),
    path("<int:swap_id>/", swaps.swap, name="swap"),
    path("<int:swap_id>/print/", prints.swap_print, name="swap_print"),
    path("<int:swap_id>/file/<str:form>/", prints.swap_file, name="swap_file"),
    path("<int:swap_id>/here/", swaps.swap_presence, name="swap_presence"),
    path("<int:swap_id>/step/<int:number>/", steps.swap_step, name="swap_step"),
    path("<int:swap_id>/step/<int:number>/judge/", steps.swap_judge, name="swap_judge"),
    path("<int:swap_id>/step/<int:number>/call/", steps.swap_call, name="swap_call"),
    path("<int:swap_id>/sign/", signing.swap_sign, name="swap_sign"),
    path("<int:swap_id>/release/", signing.swap_release, name="swap_release"),
    path("<int:swap_id>/hand-over/", signing.swap_hand_over, name="swap_hand_over"),
    path("<int:swap_id>/off/", units.swap_off, name="swap_off"),
    path("<int:swap_id>/on/", units.swap_on, name="swap_on"),
    path("<int:swap_id>/abandon/", units.swap_abandon, name="swap_abandon"),
    path("<int:swap_id>/correct-unit/", units.swap_correct_unit, name="swap_correct_unit"),
    path("<int:swap_id>/correct/", units.swap_correct, name="swap_correct"),
]
