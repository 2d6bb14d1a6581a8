from django.urls import path

from scheduling.allocation.pages import allocation as views_allocation
from scheduling.allocation.pages import plan as views_allocation_plan
from scheduling.due.pages import pages as views

app_name = "scheduling"
urlpatterns = [
    path("", views.due_list, name="due_list"),
    path("due/export/<str:form>/", views.due_export, name="due_export"),
    path("due/<int:item_id>/", views.due_item, name="due_item"),
    path("allocation/", views_allocation.allocation, name="allocation"),
    path("allocation/decide/", views_allocation.decide, name="allocation_decide"),
    path("allocation/renew/", views_allocation.renew, name="allocation_renew"),
    path("shortage/", views_allocation_plan.shortage, name="shortage"),
    path("float/", views_allocation_plan.float_sizes, name="float"),
]
