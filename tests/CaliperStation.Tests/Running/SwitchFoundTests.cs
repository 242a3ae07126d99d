using CaliperStation.Running;

namespace CaliperStation.Tests.Running;

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
    [InlineData("", "press-text = \"b\"\n")]
    [InlineData("# mine\nport = \"none\"", "# mine\nport = \"none\"\npress-text = \"b\"\n")]
    [InlineData("press-text=\"c\"\nport = \"none\"\n", "press-text = \"b\"\nport = \"none\"\n")]
    [InlineData("press-texture = 1\n", "press-texture = 1\npress-text = \"b\"\n")]
    public void Saving_changes_one_line_and_no_other(string before, string after) =>
        Assert.Equal(after, SettingsFile.With(before, "press-text", "b"));
}
