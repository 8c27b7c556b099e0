/** Words of the page on which a tablet learns to trust this server. */
export const trust = {
  'screen.trust': 'Trust this server',

  'command.downloadCertificate': 'Download the certificate',
  'command.openFarm': 'Open the farm',

  'trust.android': 'On an Android tablet',
  'trust.android.1':
    'Download the certificate on the tablet itself. A message that it cannot be opened here is normal.',
  'trust.android.2':
    'Open the tablet’s settings and search them for “certificate”. Choose to install one from storage, and of the kinds offered the CA certificate.',
  'trust.android.3': 'Confirm the warning, give the tablet’s PIN, and choose the downloaded file.',
  'trust.android.4': 'Open this server’s address again. The browser shows it as secure.',
  'trust.compare':
    'Compare every pair with the fingerprint printed where Jarfold was started. If one differs, stop: something stands between this tablet and the server.',
  'trust.fingerprint': 'Fingerprint (SHA-256)',
  'trust.ipad': 'On an iPad',
  'trust.ipad.1': 'Open this page in Safari, download the certificate and allow the profile.',
  'trust.ipad.2': 'Open Settings. The downloaded profile is offered near the top; install it and give the passcode.',
  'trust.ipad.3': 'In Settings, General, About, at the very end: Certificate Trust Settings. Switch this authority on.',
  'trust.ipad.4': 'Open this server’s address again. Safari shows it as secure.',
  'trust.known':
    'A certificate that tablets already know vouches for this server. There is nothing to install: open the farm.',
  'trust.names':
    'Makers name and place these settings differently. Remove the certificate there when the tablet leaves the farm.',
  'trust.what':
    'This server made its own certificate authority, known only on this farm. A tablet that installs its certificate once can talk to the server in private, keep bench data offline and use the camera. It is needed once per tablet.',
  'trust.whose': '{name}, valid until {until}.',
} as const;
