from django.urls import path

from . import views

app_name = "scheduling"
urlpatterns = [
    path("", views.due_list, name="due_list"),
    path("due/export/<str:form>/", views.due_export, name="due_export"),
    path("due/<int:item_id>/", views.due_item, name="due_item"),
]
