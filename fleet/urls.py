from django.urls import path

from fleet.people.pages import account, deeds, jobs, notices, people

from .aircraft import pages
from .loading import pages as load_pages
from .moving_in import pages as own_pages
from .moving_in import taken_away

app_name = "fleet"
urlpatterns = [
    path("aircraft/", pages.aircraft_list, name="aircraft_list"),
    path("aircraft/<str:registration>/", pages.aircraft, name="aircraft"),
    path("notices/", notices.notices, name="notices"),
    path("notices/<int:notice_id>/read/", notices.notice_read, name="notice_read"),
    path("people/", people.people, name="people"),
    path("people/invite/", people.invite, name="people_invite"),
    path("people/operator/", people.operator, name="people_operator"),
    path("people/<int:person_id>/", people.person, name="people_person"),
    path("people/<int:person_id>/change/", deeds.change, name="people_change"),
    path("people/<int:person_id>/deactivate/", deeds.deactivate, name="people_deactivate"),
    path("people/<int:person_id>/jobs/", jobs.jobs, name="people_jobs"),
    path("people/<int:person_id>/authorise/", deeds.authorise, name="people_authorise"),
    path(
        "people/authorisations/<int:authorisation_id>/end/",
        deeds.authorisation_end,
        name="people_authorisation_end",
    ),
    path("people/<int:person_id>/<slug:what>/", deeds.button, name="people_button"),
    path("account/", account.account, name="account"),
    path("account/sessions/<int:signed_in_id>/end/", account.session_end, name="session_end"),
    path("account/sessions/end/", account.sessions_end, name="sessions_end"),
    path(
        "account/tokens/<int:token_id>/withdraw/",
        account.own_token_withdraw,
        name="own_token_withdraw",
    ),
    path("loads/", load_pages.loads, name="loads"),
    path("loads/template.xlsx", load_pages.load_template, name="load_template"),
    path("loads/own/", own_pages.own, name="load_own"),
    path("loads/own/<uuid:key>/", own_pages.begin, name="load_own_begin"),
    path("loads/own/<uuid:key>/columns/", own_pages.columns, name="load_own_columns"),
    path("loads/own/<uuid:key>/words/", own_pages.words, name="load_own_words"),
    path("loads/own/<uuid:key>/missing/", own_pages.missing, name="load_own_missing"),
    path("loads/own/<uuid:key>/suspicions/", own_pages.doubts, name="load_own_doubts"),
    path("loads/own/<uuid:key>/compare/", own_pages.compare, name="load_own_compare"),
    path("loads/own/<uuid:key>/put-away/", own_pages.drop, name="load_own_drop"),
    path("loads/<uuid:key>/beside.xlsx", taken_away.load_beside, name="load_beside"),
    path("loads/<uuid:key>/own.xlsx", taken_away.load_returned, name="load_returned"),
    path("loads/<uuid:key>/", load_pages.load, name="load"),
    path("loads/<uuid:key>/decide/", load_pages.load_decide, name="load_decide"),
    path("loads/<uuid:key>/refused.xlsx", load_pages.load_refused, name="load_refused"),
]
