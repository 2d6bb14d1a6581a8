"""What a call's rows are judged by before anything is written."""
