/** What a person may do in a café. */
export type Right = 'see' | 'answer' | 'own' | 'visit';

/** Roles of the glossary. "bar phone" is a shared account: bar rights, and never more, whoever holds it. */
export type Role = 'owner' | 'bar' | 'bar phone' | 'technician';

const RIGHTS: Readonly<Record<Role, readonly Right[]>> = {
  owner: ['see', 'answer', 'own'],
  bar: ['see', 'answer'],
  'bar phone': ['see', 'answer'],
  technician: ['see', 'visit'],
};

/** A shared account takes away whatever else its holder may be. */
export const rightsOf = (roles: readonly Role[]): ReadonlySet<Right> =>
  new Set(roles.includes('bar phone') ? RIGHTS['bar phone'] : roles.flatMap((role) => RIGHTS[role]));
