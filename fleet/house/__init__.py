"""What the whole house stands on: who may, how it says no, questions to the app above, texts, moments."""
