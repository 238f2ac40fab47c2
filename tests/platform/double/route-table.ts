import { interactionRoutes } from './routes-interactions.ts';
import { messageRoutes } from './routes-messages.ts';
import { placeRoutes } from './routes-places.ts';
import type { Route } from './routes.ts';

const table = [...messageRoutes, ...placeRoutes, ...interactionRoutes] as const;
export type RouteName = (typeof table)[number]['name'];
export const allRoutes: readonly Route[] = table;
