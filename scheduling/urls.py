from django.urls import path

from fleet.offers.offer import page_paths
from scheduling.allocation.pages import allocation, buying, plan
from scheduling.calendar import pages as calendars
from scheduling.days import meeting
from scheduling.days import pages as days
from scheduling.drafts import hangars
from scheduling.drafts import pages as drafts
from scheduling.due.pages import comparing, pages
from scheduling.entries.pages import cabin, checks, hours, limits, readings, sentence, setting_up
from scheduling.packages.pages import cards
from scheduling.packages.pages import files as package_files
from scheduling.packages.pages import package as packages
from scheduling.papers import pages as papers
from scheduling.pictures import pages as pictures
from scheduling.planning.pages import plan as planned
from scheduling.status import pages as status

from .offers import OFFERS

app_name = "scheduling"
urlpatterns = [
    path("", days.start, name="start"),
    path("today/", days.today_page, name="today"),
    path("today/paper/", meeting.today_paper, name="today_paper"),
    path("today/changes/", days.changes_page, name="today_changes"),
    path("my-work/", days.my_work_page, name="my_work"),
    path("find/", days.find_page, name="find"),
    path("keys/", days.keys_page, name="keys"),
    path("due/", pages.due_list, name="due_list"),
    path("due/compare/", comparing.due_compare, name="due_compare"),
    path("due/export/<str:form>/", pages.due_export, name="due_export"),
    path("due/<int:item_id>/", pages.due_item, name="due_item"),
    path("due/paper/<int:paper_id>/", papers.paper, name="paper"),
    path("due/paper/<int:paper_id>/file/", papers.paper_file, name="paper_file"),
    path("pictures/<str:code>/", pictures.picture_page, name="picture"),
    path("pictures/<str:code>/file/<str:form>/", pictures.picture_file, name="picture_file"),
    path("status/<str:sort>/", status.status_page, name="status"),
    path("status/<str:sort>/file/<str:form>/", status.status_file, name="status_file"),
    path("allocation/", allocation.allocation, name="allocation"),
    path("allocation/decide/", allocation.decide, name="allocation_decide"),
    path("allocation/renew/", allocation.renew, name="allocation_renew"),
    path("shortage/", plan.shortage, name="shortage"),
    path("float/", plan.float_sizes, name="float"),
    path("what-to-order/", buying.to_buy_page, name="to_buy"),
    path("what-to-order/file/<str:form>/", buying.to_buy_file, name="to_buy_file"),
    path("plan/", planned.plan, name="plan"),
    path("plan/hangars/", hangars.hangars, name="hangars"),
    path("plan/drafts/", drafts.drafts, name="drafts"),
    path("plan/drafts/<int:draft_id>/", drafts.draft, name="draft"),
    path("plan/checks/<int:check_id>/", planned.plan_check, name="plan_check"),
    path("plan/checks/<int:check_id>/package/", packages.check_package, name="check_package"),
    path("plan/checks/<int:check_id>/release/", packages.check_release, name="check_release"),
    path(
        "plan/checks/<int:check_id>/package/file/<str:form>/",
        package_files.package_file,
        name="package_file",
    ),
    path("plan/checks/<int:check_id>/cards/", cards.cards_page, name="check_cards"),
    path("plan/checks/<int:check_id>/cards/file/<str:form>/", cards.cards_file, name="cards_file"),
    path("plan/checks/<int:check_id>/picks/", cards.picks_page, name="check_picks"),
    path("plan/checks/<int:check_id>/picks/file/<str:form>/", cards.picks_file, name="picks_file"),
    path("calendars/", calendars.addresses, name="calendars"),
    path("calendars/feed/<str:secret>/greenband.ics", calendars.feed, name="calendar_feed"),
    path("setting-up/", setting_up.setting_up, name="setting_up"),
    path("hours/", hours.hours, name="hours"),
    path("hours/<str:registration>/", readings.readings, name="readings"),
    path("checks/", checks.checks, name="checks"),
    path("limits/", limits.limits, name="limits"),
    path("limits/starting-points/", limits.starting_points, name="starting_points"),
    path("limits/new/", sentence.limit_new, name="limit_new"),
    path("limits/<int:limit_id>/", limits.limit, name="limit"),
    path("limits/<int:limit_id>/revise/", sentence.limit_revise, name="limit_revise"),
    path("limits/<int:limit_id>/compliance/", limits.compliance, name="limit_compliance"),
    path(
        "limits/<int:limit_id>/compliance/export/<str:form>/",
        limits.compliance_export,
        name="compliance_export",
    ),
    path("setting-up/types/<int:type_id>/", cabin.cabin, name="cabin"),
    *page_paths(OFFERS),
]
