/** As whom somebody asks for help in a café. */
export type HelpRole = 'owner' | 'bar' | 'technician' | 'none';
