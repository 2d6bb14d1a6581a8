"""What is open by a document, as items of the due list: its last day, and what is repeated meanwhile."""
