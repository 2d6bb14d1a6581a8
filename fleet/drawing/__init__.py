"""What the screens draw and say: pure geometry and words, without request, database or clock.

``words`` says dates, hours and counts; ``states`` names the bands and their shapes; ``time``
is the shared scale of dates; ``lifeline`` draws one due item; ``checks`` an aircraft's checks;
``chart`` a year of use; ``cabin`` an aircraft type seen from above (its docstring describes the
``plan`` data of :class:`fleet.models.AircraftType`).
"""
