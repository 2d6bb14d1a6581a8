"""What is done under the programme. Only these modules write it."""
