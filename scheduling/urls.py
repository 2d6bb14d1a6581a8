from django.urls import path

from scheduling.allocation.pages import allocation, plan
from scheduling.due.pages import pages

app_name = "scheduling"
urlpatterns = [
    path("", pages.due_list, name="due_list"),
    path("due/export/<str:form>/", pages.due_export, name="due_export"),
    path("due/<int:item_id>/", pages.due_item, name="due_item"),
    path("allocation/", allocation.allocation, name="allocation"),
    path("allocation/decide/", allocation.decide, name="allocation_decide"),
    path("allocation/renew/", allocation.renew, name="allocation_renew"),
    path("shortage/", plan.shortage, name="shortage"),
    path("float/", plan.float_sizes, name="float"),
]
