import { describe, expect, it } from '@jest/globals';
import { judgePassword } from './password-rules.js';

const own = { email: 'marta.kiln@example.org', farmName: 'Hollow Oak Spawn' };

describe('passwords that may be chosen', () => {
  it.each(['correct horse battery', 'zwölf Gläser im Regal', 'oyster47!quartz', 'aB3$aB3$x', '雨の日の白い菌糸体です'])(
    'accepts %s',
    (password) => expect(judgePassword(password, own)).toEqual({ ok: true }),
  );

  it.each([
    ['a well-known one', 'password1'],
    ['a well-known one in capitals', 'QWERTYUIOP'],
    ['a well-known one with an ending', 'Dragon2024!'],
    ['the own address', 'Marta.Kiln@example.org'],
    ['the name part of the address with an ending', 'marta.kiln99'],
    ['the name of the farm', 'hollowoakspawn'],
    ['one character repeated', 'aaaaaaaaaaaa'],
    ['a short piece repeated', 'ab12ab12ab12'],
  ])('refuses %s', (_, password) => expect(judgePassword(password, own)).toMatchObject({ ok: false }));

  it('asks for no digits, capitals or signs', () => {
    expect(judgePassword('kettle lantern moss', own)).toEqual({ ok: true });
  });
});
