using CaliperStation.Cli;
using CaliperStation.Devices;
using CaliperStation.Files;
using CaliperStation.Tests.Devices;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Cli;

public sealed class SwitchFoundTests
{
    [Theory]
    [InlineData('\0', ConsoleKey.F5, "press-key", "F5")]
    [InlineData('\0', ConsoleKey.F4, null, null)]
    [InlineData('\0', ConsoleKey.F2, null, null)]
    [InlineData('\r', ConsoleKey.Enter, null, null)]
    [InlineData('b', ConsoleKey.B, "press-text", "b")]
    [InlineData('1', ConsoleKey.D1, null, null)]
    [InlineData('\t', ConsoleKey.Tab, null, null)]
    public void What_a_switch_typed_names_its_setting_or_says_why_there_is_none(char character, ConsoleKey key, string? setting, string? value)
    {
        SwitchFound found = SwitchFound.OfKey(new ConsoleKeyInfo(character, key, false, false, false));

        Assert.Equal((setting, value), (found.Key, found.Value));
        Assert.NotEmpty(found.Words);
    }

    [Theory]
    [InlineData("", 'x', ConsoleKey.X, "not-so-text", "x")]
    [InlineData("press-text = \"x\"\n", 'x', ConsoleKey.X, null, null)]
    [InlineData("press-text = \"b\"\n", 'x', ConsoleKey.X, "not-so-text", "x")]
    [InlineData("press-key = \"F5\"\n", '\0', ConsoleKey.F7, "not-so-key", "F7")]
    [InlineData("press-key = \"F5\"\n", '\0', ConsoleKey.F5, null, null)]
    [InlineData("", '\r', ConsoleKey.Enter, null, null)]
    public void What_the_second_switch_typed_says_not_so_unless_it_is_a_press_already(string settings, char character, ConsoleKey key, string? setting, string? value)
    {
        SwitchFound found = SwitchFound.OfKey(new ConsoleKeyInfo(character, key, false, false, false)).AsSecond(Settings.Parse(settings, "settings.toml"));

        Assert.Equal((setting, value), (found.Key, found.Value));
        Assert.Equal(setting is null ? [] : [(setting, value!)], found.Settings);
    }

    [Theory]
    [InlineData(true, "not-so-line")]
    [InlineData(false, null)]
    public void A_second_contact_is_learnt_when_it_is_wired_as_the_first(bool on, string? setting)
    {
        SwitchFound found = SwitchFound.OfLine(ModemInput.Dcd, on).AsSecond(Settings.Parse("switch-line = \"dsr\"\nswitch-pressed = \"on\"\n", "settings.toml"));

        Assert.Equal(setting, found.Key);
        Assert.Equal(setting is null, found.Settings.Count == 0);
        string learnt = found.Settings.Aggregate("switch-line = \"dsr\"\n", (text, set) => SettingsFile.With(text, set.Key, set.Value));
        Assert.Equal((ModemInput.Dsr, setting is null ? null : ModemInput.Dcd), (Settings.Parse(learnt, "settings.toml").Modem.Switch, Settings.Parse(learnt, "settings.toml").Modem.NotSo));
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task A_contact_between_modem_lines_is_learnt_with_its_sense_and_its_power(bool restsOn)
    {
        FakeLine line = new();
        if (restsOn)
        {
            line.Inputs.Add(ModemInput.Dsr);
        }

        FakeTimeProvider time = new();
        TaskCompletionSource<SwitchFound> found = new();
        Task watching = CaliperSwitch.WatchAsync("/dev/fake", new FakePorts(line), time, found, CancellationToken.None);
        await EventLog.UntilAsync(() => line.Outputs.Count == 2, time, FootSwitch.Steady);
        await EventLog.UntilAsync(() => line.Looks > 6, time, FootSwitch.Steady);
        _ = restsOn ? line.Inputs.Remove(ModemInput.Dsr) : line.Inputs.Add(ModemInput.Dsr);
        await EventLog.UntilAsync(() => watching.IsCompleted, time, FootSwitch.Steady);

        Assert.Equal([("switch-line", "dsr"), ("switch-pressed", restsOn ? "off" : "on"), ("lines-on", "rts dtr")], (await found.Task).Settings);
        string settings = (await found.Task).Settings.Aggregate("", (text, set) => SettingsFile.With(text, set.Key, set.Value));
        ModemSettings modem = Settings.Parse(settings, "settings.toml").Modem;
        Assert.Equal((ModemInput.Dsr, !restsOn, true, true), (modem.Switch, modem.PressedWhenOn, modem.Rts, modem.Dtr));
    }

    [Fact]
    public async Task A_port_that_has_no_modem_lines_or_is_not_there_says_so()
    {
        TaskCompletionSource<SwitchFound> none = new();
        IOException ioctl = new("Inappropriate ioctl for device");
        await CaliperSwitch.WatchAsync("/dev/fake", new FakePorts(new FakeLine { OnModem = ioctl }), new FakeTimeProvider(), none, CancellationToken.None);
        StationException refused = await Assert.ThrowsAsync<StationException>(() => none.Task);
        Assert.Equal(ExitCode.Device, refused.ExitCode);
        Assert.Contains(ioctl.Message, refused.Message, StringComparison.Ordinal);
        TaskCompletionSource<SwitchFound> gone = new();
        await CaliperSwitch.WatchAsync("/dev/fake", new FakePorts(), new FakeTimeProvider(), gone, CancellationToken.None);
        refused = await Assert.ThrowsAsync<StationException>(() => gone.Task);
        Assert.Equal((ExitCode.Device, new FakePorts().Before("")!.Words), (refused.ExitCode, refused.Message));
    }

    [Theory]
    [InlineData("", "press-text = \"b\"\n")]
    [InlineData("# mine\nport = \"none\"", "# mine\nport = \"none\"\npress-text = \"b\"\n")]
    [InlineData("press-text=\"c\"   # the left pedal\nport = \"none\"\n", "press-text=\"b\"   # the left pedal\nport = \"none\"\n")]
    [InlineData("'press-text' = 'c'\r\n", "'press-text' = \"b\"\r\n")]
    [InlineData("press-texture = 1\n", "press-texture = 1\npress-text = \"b\"\n")]
    public void Saving_changes_one_line_and_no_other(string before, string after) =>
        Assert.Equal(after, SettingsFile.With(before, "press-text", "b"));
}
