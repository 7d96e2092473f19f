export const deskStories = [];
