"""A declared act offered to people, programs and spreadsheets: its door, its page, its sheet.

A room lists each of its acts once, as an :class:`~fleet.offers.offer.Offer`, in its module
``declared``; an app's ``offers`` gathers the rooms. Addresses and kinds of sheet are made from the list
by plain functions.
"""
