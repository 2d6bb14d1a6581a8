from django.urls import path

from fleet.people.pages import notices

from .aircraft import pages
from .loading import pages as load_pages

app_name = "fleet"
urlpatterns = [
    path("aircraft/", pages.aircraft_list, name="aircraft_list"),
    path("aircraft/<str:registration>/", pages.aircraft, name="aircraft"),
    path("notices/", notices.notices, name="notices"),
    path("notices/<int:notice_id>/read/", notices.notice_read, name="notice_read"),
    path("loads/", load_pages.loads, name="loads"),
    path("loads/template.xlsx", load_pages.load_template, name="load_template"),
    path("loads/<uuid:key>/", load_pages.load, name="load"),
    path("loads/<uuid:key>/decide/", load_pages.load_decide, name="load_decide"),
    path("loads/<uuid:key>/refused.xlsx", load_pages.load_refused, name="load_refused"),
]
