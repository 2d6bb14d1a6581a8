"""From read tables to records: each line accepted, refused with its reasons, or already known."""
