from django.urls import re_path

from fleet.api_doors import no_such_address

urlpatterns = [
    # Last of all doors: what none of them took.
    re_path(r"^v1/", no_such_address, name="api-no-such-address"),
]
