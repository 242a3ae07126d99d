using Terminal.Gui.App;
using Terminal.Gui.Drivers;
using Terminal.Gui.Views;

// The smallest program on the kit, which the bench's start is measured against: one line of text, nothing else.
Driver.Force16Colors = true;
using IApplication app = Application.Create().Init(DriverRegistry.Names.ANSI);
using Runnable screen = new();
screen.Add(new Label { Text = "smallest screen" });
app.Run(screen);
