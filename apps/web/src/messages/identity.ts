/** Words of signing in and of setting the server up. */
export const identity = {
  'screen.signIn': 'Sign in',
  'screen.setUp': 'Set up',

  'command.makeFarm': 'Make the farm',

  'field.email': 'E-mail',
  'field.ownerName': 'Your name',
  'field.password': 'Password',
  'field.setUpToken': 'Set-up code',

  'setUp.done': 'This server is already set up.',
  'setUp.lead':
    'This server has no farm yet. The first one is made with the set-up code that was printed where Jarfold was started.',
  'setUp.passwordHint': 'At least {min} characters; {advised} or more is better. A sentence is easy to keep in mind.',
  'setUp.timeZoneHint': 'The farm’s days follow this clock.',
  'setUp.tokenHint': 'It works once and for a day. Starting Jarfold again prints a new one.',
} as const;
