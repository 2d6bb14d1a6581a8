"""The addresses of walk-rounds."""

from django.urls import path

from . import pages

urlpatterns = [
    path("", pages.walk_rounds, name="walk_rounds"),
    path("<int:walk_round_id>/", pages.walk_round, name="walk_round"),
    path("<int:walk_round_id>/at/<int:position_id>/", pages.walk_position, name="walk_position"),
]
