"""What a person does with an own spreadsheet before it is a load. Only these modules write it."""
