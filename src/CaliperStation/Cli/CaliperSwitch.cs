using System.CommandLine;
using CaliperStation.Core.Quantities;
using CaliperStation.Devices;
using CaliperStation.Files;
using CaliperStation.Screen;
using CaliperStation.Storage;
using static CaliperStation.Cli.CommandLine;

namespace CaliperStation.Cli;

/// <summary>What <c>caliper switch</c> was asked for.</summary>
/// <param name="Port">A port whose modem lines are watched, too, or null.</param>
/// <param name="Wait">How long a press is waited for.</param>
/// <param name="IsSecond">True for the second switch, which says "not so".</param>
/// <param name="Save">True to write what was learnt into the settings.</param>
/// <param name="Json">The result as one object.</param>
internal sealed record CaliperSwitchOptions(string? Port, TimeSpan Wait, bool IsSecond, bool Save, bool Json);

/// <summary>Learns what a foot switch sends: "press your switch now".</summary>
internal static class CaliperSwitch
{
    internal static Command Command(TextWriter output, TextWriter error)
    {
        Option<string?> port = PortOption("NAME", "A serial port whose lines a switch is wired to.");
        Option<int> wait = new("--wait") { Description = "How long to wait for a press.", HelpName = "SECONDS", DefaultValueFactory = _ => 15 };
        wait.Validators.Add(result =>
        {
            if (result.GetValueOrDefault<int>() is < 1 or > 3_600)
            {
                result.AddError("--wait is 1 to 3600 seconds.");
            }
        });
        Option<bool> second = new("--second") { Description = "The second switch: it says \"not so\"." };
        Option<bool> save = new("--save") { Description = "Writes what was learnt into the settings." };
        Option<bool> json = JsonOption();
        Command command = new("switch", "Learns what a foot switch sends: press it when asked.") { port, wait, second, save, json };
        command.SetAction((parsed, stop) => CaliperSwitch.RunAsync(
            new CaliperSwitchOptions(parsed.GetValue(port), TimeSpan.FromSeconds(parsed.GetValue(wait)), parsed.GetValue(second), parsed.GetValue(save), parsed.GetValue(json)), output, error, stop));
        return command;
    }

    /// <summary>Returns 0 when something arrived, 4 when nothing did.</summary>
    internal static async Task<int> RunAsync(CaliperSwitchOptions options, TextWriter output, TextWriter error, CancellationToken stop)
    {
        string path = StorePaths.OnThisMachine(null).Settings;
        Settings settings = Settings.Load(path);   // a bad file is told before anybody presses anything
        using CancellationTokenSource enough = CancellationTokenSource.CreateLinkedTokenSource(stop);
        enough.CancelAfter(options.Wait);
        TaskCompletionSource<SwitchFound> found = new(TaskCreationOptions.RunContinuationsAsynchronously);
        await error.WriteLineAsync(FormattableString.Invariant($"Press your {(options.IsSecond ? "second switch" : "switch")} now; {options.Wait.TotalSeconds:0} seconds.")).ConfigureAwait(false);
        new Thread(() => Keys(found)) { IsBackground = true, Name = "switch keys" }.Start();
        Task watching = options.Port is { } port ? Task.Run(() => WatchAsync(port, SystemPorts.Instance, TimeProvider.System, found, enough.Token), CancellationToken.None) : Task.CompletedTask;
        try
        {
            SwitchFound learnt = await found.Task.WaitAsync(enough.Token).ConfigureAwait(false);
            learnt = options.IsSecond ? learnt.AsSecond(settings) : learnt;
            Tell(learnt, options, output);
            if (options.Save && learnt.Settings.Count > 0)
            {
                foreach ((string key, string value) in learnt.Settings)
                {
                    SettingsFile.Set(path, key, value);
                }

                await error.WriteLineAsync(PrintableText.Escape($"Written to {path}.")).ConfigureAwait(false);
            }

            return ExitCode.Good;
        }
        catch (OperationCanceledException) when (!stop.IsCancellationRequested)
        {
            throw new StationException(ExitCode.Device, "Nothing arrived. Is the switch plugged in? One that is wired to a serial port is watched with --port.");
        }
        finally
        {
            await enough.CancelAsync().ConfigureAwait(false);
            await watching.ConfigureAwait(false);
        }
    }

    private static void Tell(SwitchFound learnt, CaliperSwitchOptions options, TextWriter output) => output.WriteLine(options.Json
        ? JsonText.Object(json =>
        {
            json.WriteString("event", "switch");
            json.WriteString("words", learnt.Words);
            json.WriteString("setting", learnt.Key);
            json.WriteString("value", learnt.Value);
            json.WriteStartObject("settings");
            foreach ((string key, string value) in learnt.Settings)
            {
                json.WriteString(key, value);
            }

            json.WriteEndObject();
        })
        : string.Join('\n', learnt.Settings.Select(set => $"{set.Key} = \"{PrintableText.Escape(set.Value)}\"").Prepend(learnt.Words)));

    private static void Keys(TaskCompletionSource<SwitchFound> found)
    {
        try
        {
            if (!Console.IsInputRedirected)
            {
                found.TrySetResult(SwitchFound.OfKey(Console.ReadKey(intercept: true)));
            }
            else if (Console.In.Read() is >= 0 and var first)
            {
                found.TrySetResult(SwitchFound.OfText(((char)first).ToString()));
            }
        }
        catch (Exception e) when (e is InvalidOperationException or IOException)
        {
            // no keyboard: the port may still tell
        }
    }

    /// <summary>Tells the first line of the port that goes on or off, or why none can be watched.</summary>
    internal static async Task WatchAsync(string port, ISerialPorts ports, TimeProvider time, TaskCompletionSource<SwitchFound> found, CancellationToken stop)
    {
        if (ports.Before(port) is { } trouble)
        {
            found.TrySetException(new StationException(ExitCode.Device, trouble.Words));
            return;
        }

        ISerialLine line = ports.Create(new SerialSettings(port));
        bool isOpen = false;
        try
        {
            line.Open();
            isOpen = true;
            IModemLines lines = line as IModemLines ?? throw new IOException("it has none");
            lines.Put(ModemOutput.Rts, true);   // the contact needs something to close on
            lines.Put(ModemOutput.Dtr, true);
            await Task.Delay(FootSwitch.Steady * 5, time, CancellationToken.None).ConfigureAwait(false);
            ModemInput[] inputs = Enum.GetValues<ModemInput>();
            bool[] before = [.. inputs.Select(lines.IsOn)];
            while (!stop.IsCancellationRequested && !found.Task.IsCompleted)
            {
                for (int i = 0; i < inputs.Length; i++)
                {
                    if (lines.IsOn(inputs[i]) is var now && now != before[i])
                    {
                        found.TrySetResult(SwitchFound.OfLine(inputs[i], now));
                    }
                }

                await Task.Delay(SerialCaliper.PollEvery, time, CancellationToken.None).ConfigureAwait(false);
            }
        }
        catch (Exception e) when (SerialLink.IsLineFailure(e))
        {
            found.TrySetException(new StationException(ExitCode.Device, isOpen
                ? $"{PrintableText.Escape(port)} has no modem lines that a switch could be read on ({PrintableText.Escape(e.Message.TrimEnd('.'))}). It takes an adapter with CTS, DSR or DCD, or a pedal that types."
                : ports.After(port, e).Words));
        }
        finally
        {
            await LineCloser.CloseAsync(line, TimeProvider.System).ConfigureAwait(false);
        }
    }
}

/// <summary>What a switch sent, and the setting that makes it a press.</summary>
/// <param name="Words">What arrived.</param>
/// <param name="Key">The setting's name; null when none is needed or none can be.</param>
/// <param name="Value">The setting's value.</param>
internal sealed record SwitchFound(string Words, string? Key = null, string? Value = null)
{
    /// <summary>Every setting that it needs, the first one above among them.</summary>
    internal IReadOnlyList<(string Key, string Value)> Settings { get; private init; } = Key is null ? [] : [(Key, Value!)];

    /// <summary>The same as the second switch's, or why it cannot be: it must differ from what is a press already.</summary>
    /// <param name="settings">Those of the first switch.</param>
    internal SwitchFound AsSecond(Settings settings)
    {
        (string Key, string Value)? first = Key switch
        {
            "press-key" when settings.PressKey is { } key => ("press-key", key),
            "press-text" when settings.PressText is { } text => ("press-text", text),
            "switch-line" when settings.Modem.Switch is { } line => ("switch-line", line.ToString().ToLowerInvariant()),
            _ => null,
        };
        if (Key is null)
        {
            return IsPress ? new("It types what is a press already: set the second switch to another key, such as F5 or the letter x, with its own program.") : this;
        }

        if (first is { } same && same.Value.Equals(Value, StringComparison.OrdinalIgnoreCase))
        {
            return new($"{Words} That is the first switch's already.");
        }

        if (Key == "switch-line" && settings.Modem.Switch is not null && Settings.Any(set => set.Key == "switch-pressed" && (set.Value == "on") != settings.Modem.PressedWhenOn))
        {
            return new($"{Words} The first switch does the opposite: wire both alike.");
        }

        string second = Key switch { "press-key" => "not-so-key", "press-text" => "not-so-text", _ => "not-so-line" };
        return new(Words, second, Value) { Settings = [.. Settings.Select(set => set.Key == Key ? (second, set.Value) : set)] };
    }

    private bool IsPress { get; init; }

    /// <summary>A key of a terminal.</summary>
    internal static SwitchFound OfKey(ConsoleKeyInfo key)
    {
        if (key.Key is ConsoleKey.Enter or ConsoleKey.Spacebar or ConsoleKey.F2)
        {
            return new($"It types {key.Key}, which is a press already: nothing needs to be set.") { IsPress = true };
        }

        if (key.Key is >= ConsoleKey.F1 and <= ConsoleKey.F12)
        {
            string name = key.Key.ToString();
            return SwitchKeys.Validate(name) is { } fault ? new($"It types the key {name}, but {fault}. Set the pedal to another key with its own program.") : new($"It types the key {name}.", "press-key", name);
        }

        return char.IsControl(key.KeyChar)
            ? new($"It types {key.Key}, which cannot be told from other keys on every terminal. Set the pedal to F5 or to the letter b with its own program.")
            : OfText(key.KeyChar.ToString());
    }

    /// <summary>A character, from a terminal or a pipe.</summary>
    internal static SwitchFound OfText(string text)
    {
        string shown = PrintableText.Escape(text);
        return text.Trim().Length == 0 ? new("It types an empty line or a blank, which is a press already: nothing needs to be set.") { IsPress = true }
            : Devices.Settings.ValidatePressText(text) is { } fault ? new($"It types \"{shown}\", but {fault}.")
            : new($"It types the letter \"{shown}\". As a switch it is never part of an entry; type the capital letter where it is wanted.", "press-text", text);
    }

    /// <summary>A modem line that went on or off while RTS and DTR were on, as they must be when the switch is used.</summary>
    internal static SwitchFound OfLine(Devices.ModemInput line, bool on)
    {
        string name = line.ToString().ToLowerInvariant();
        string level = on ? "on" : "off";
        return new($"The line {name.ToUpperInvariant()} went {level}.", "switch-line", name)
        {
            Settings = [("switch-line", name), ("switch-pressed", level), ("lines-on", "rts dtr")],
        };
    }
}
