"""The window itself: actions, menus, preferences, live assessment, trouble."""
