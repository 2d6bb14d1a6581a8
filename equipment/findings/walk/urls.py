"""The addresses of walk-rounds."""

from django.urls import path

from . import pages as views_walk

urlpatterns = [
    path("", views_walk.walk_rounds, name="walk_rounds"),
    path("<int:walk_round_id>/", views_walk.walk_round, name="walk_round"),
    path(
        "<int:walk_round_id>/at/<int:position_id>/", views_walk.walk_position, name="walk_position"
    ),
]
