from django.urls import path

from . import procedures

urlpatterns = [
    path("v1/step-lists", procedures.StepLists.as_view(), name="api-step-lists"),
    path("v1/rule-sets", procedures.RuleSets.as_view(), name="api-rule-sets"),
    path("v1/charts", procedures.Charts.as_view(), name="api-charts"),
]
