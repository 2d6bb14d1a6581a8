from django.urls import path

from . import api_procedures, api_tools

urlpatterns = [
    path("v1/step-lists", api_procedures.StepLists.as_view(), name="api-step-lists"),
    path("v1/rule-sets", api_procedures.RuleSets.as_view(), name="api-rule-sets"),
    path("v1/charts", api_procedures.Charts.as_view(), name="api-charts"),
    path("v1/tools", api_tools.Tools.as_view(), name="api-tools"),
    path("v1/calibrations", api_tools.Calibrations.as_view(), name="api-calibrations"),
    path("v1/tool-reports", api_tools.ToolReports.as_view(), name="api-tool-reports"),
]
