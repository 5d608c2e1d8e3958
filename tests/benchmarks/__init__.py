"""What is measured is measured rightly."""
