"""What the page says that helps a phone to trust this machine's page."""

TITLE = "Let this phone trust the page"
WHY = (
    "Without this the phone gives the page no microphone and lets the screen go dark. The certificate can vouch for "
    "addresses of private networks alone, and for no site of the internet."
)
COMPARE = "Compare these figures with those on the screen at the sheets. If one differs, stop: it is not our machine."
STEPS = (
    "Get the certificate with the link below.",
    "Android: Settings, search for “CA certificate”, install it from Downloads.",
    "iPhone: Settings, General, VPN & Device Management: install the profile.",
    "iPhone, after that: Settings, General, About, Certificate Trust Settings: switch it on.",
    "There the phone shows the SHA-256 fingerprint: compare it once more.",
    "Then open the link of the page itself.",
    "When the job is done take the certificate off the phone again, in the same place.",
)
GET = "The certificate"
