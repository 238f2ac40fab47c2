import { PermissionFlagsBits, PermissionsBitField } from 'discord.js';

/** What the bot cannot do its work without, and nothing beyond: no right to manage, to delete or to call everyone. */
export const LEAST_PERMISSIONS = new PermissionsBitField([
  PermissionFlagsBits.ViewChannel, PermissionFlagsBits.SendMessages, PermissionFlagsBits.SendMessagesInThreads, PermissionFlagsBits.CreatePublicThreads,
  PermissionFlagsBits.EmbedLinks, PermissionFlagsBits.AttachFiles, PermissionFlagsBits.ReadMessageHistory, PermissionFlagsBits.AddReactions,
]).bitfield;

/** The link by which someone who manages a server adds the bot to it. */
export const inviteLink = (applicationId: string): string =>
  `https://discord.com/oauth2/authorize?client_id=${applicationId}&scope=bot+applications.commands&permissions=${LEAST_PERMISSIONS}&integration_type=0`;
