"""What people do, said once: the fields of an act, who may do it, how programs reach it.

An act is a plain keyword-only function. What a person says to it is a frozen dataclass in the act's
own module, each field declared by :mod:`fleet.acts.fields`; an :class:`~fleet.acts.act.Act` beside it
adds address, words and example. Form, request and sheet are made from these by plain functions:
``form_of`` (fleet.screens.forms), ``request_of`` (fleet.doors.requests), ``columns_of``
(fleet.intake.said).
"""
