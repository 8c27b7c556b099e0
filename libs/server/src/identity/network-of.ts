import { isIPv6 } from 'node:net';

const GROUPS_OF_A_NETWORK = 4;

/**
 * What tries are counted by: an IPv4 address as it is, an IPv6 address by its /64, which is the least that one customer
 * is given (RFC 6177 section 2), so that nobody has as many addresses as they like.
 * @example networkOf('2001:db8:1:2:3::4') // '2001:db8:1:2::/64'
 */
export function networkOf(address: string): string {
  const mapped = /^::ffff:(\d+\.\d+\.\d+\.\d+)$/i.exec(address)?.[1];
  if (mapped !== undefined) return mapped;
  const [bare = ''] = address.split('%', 1);
  if (!isIPv6(bare)) return address;
  return `${expanded(bare).slice(0, GROUPS_OF_A_NETWORK).join(':')}::/64`;
}

/** The eight groups of an IPv6 address, without leading zeros; a dotted tail counts as two. */
function expanded(address: string): string[] {
  const [head = '', tail] = address.toLowerCase().split('::');
  const groups = (text: string) =>
    text === '' ? [] : text.split(':').flatMap((group) => (group.includes('.') ? ['0', '0'] : [group]));
  const before = groups(head);
  const after = groups(tail ?? '');
  const zeros = tail === undefined ? [] : Array<string>(8 - before.length - after.length).fill('0');
  return [...before, ...zeros, ...after].map((group) => group.replace(/^0+(?=.)/, ''));
}
