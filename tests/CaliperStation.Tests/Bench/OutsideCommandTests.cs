using CaliperStation.Bench;
using CaliperStation.Tests.Whole;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Bench;

/// <summary>The commands of the settings that play and speak; <c>sh</c> stands for them.</summary>
public sealed class OutsideCommandTests : IDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(30);

    private readonly TemporaryFolder _place = new();
    private readonly List<string> _told = [];
    private readonly FakeTimeProvider _time = new();

    public void Dispose() => _place.Dispose();

    private string Heard => Path.Combine(_place.Path, "heard");

    [UnixFact]
    public async Task A_line_is_given_on_the_input_and_the_last_one_is_said_to_its_end()
    {
        await using (OutsideCommand speak = Sh("cat > \"$0\""))
        {
            speak.Give("rack left\n"u8.ToArray());
        }

        Assert.Equal("rack left\n", await File.ReadAllTextAsync(Heard));
        Assert.Empty(_told);
    }

    [UnixFact]
    public async Task The_newest_cuts_off_what_still_speaks()
    {
        await using (OutsideCommand speak = Sh("read line; echo $line >> \"$0\"; test $line = last || exec sleep 1000"))
        {
            speak.Give("first\n"u8.ToArray());
            await UntilAsync(() => File.Exists(Heard) && new FileInfo(Heard).Length == 6);
            speak.Give("last\n"u8.ToArray());
        }

        Assert.Equal("first\nlast\n", await File.ReadAllTextAsync(Heard));
        Assert.Empty(_told);   // to be cut off is no fault
    }

    [UnixTheory]
    [InlineData("sh", "exit 3")]
    [InlineData("no-such-command", "")]
    public async Task A_command_that_fails_is_told_once(string command, string script)
    {
        await using (OutsideCommand broken = new([command, "-c", script], Tell, TimeProvider.System, OutsideCommand.LongestTone))
        {
            for (int time = 1; time <= 3; time++)
            {
                broken.Give("a\n"u8.ToArray());
            }
        }

        Assert.Contains(command, Assert.Single(_told), StringComparison.Ordinal);
    }

    [UnixFact]
    public async Task One_that_hangs_is_stopped_and_told()
    {
        await using OutsideCommand hangs = Sh("echo on > \"$0\"; exec sleep 1000");
        hangs.Give("a\n"u8.ToArray());
        await UntilAsync(() => File.Exists(Heard));
        await UntilAsync(() =>
        {
            _time.Advance(OutsideCommand.LongestTone);
            return _told.Count > 0;
        });

        Assert.Single(_told);
    }

    [UnixFact]
    public async Task One_that_hangs_when_the_bench_is_left_holds_nobody_up()
    {
        OutsideCommand hangs = Sh("echo on > \"$0\"; exec sleep 1000", TimeSpan.FromDays(1));   // the fake time runs far ahead of the process
        hangs.Give("a\n"u8.ToArray());
        await UntilAsync(() => File.Exists(Heard));
        Task left = hangs.DisposeAsync().AsTask();
        TimeSpan waited = TimeSpan.Zero;
        await UntilAsync(() =>
        {
            _time.Advance(TimeSpan.FromMilliseconds(1));
            waited += TimeSpan.FromMilliseconds(1);
            return left.IsCompleted;
        });

        Assert.True(waited >= OutsideCommand.LastWord, $"{waited}");   // the last word may be said
        Assert.Empty(_told);
    }

    private static async Task UntilAsync(Func<bool> holds)
    {
        using CancellationTokenSource enough = new(Patience);
        while (!holds())
        {
            await Task.Yield();
            enough.Token.ThrowIfCancellationRequested();
        }
    }

    private OutsideCommand Sh(string script, TimeSpan? longest = null) => new(["sh", "-c", script, Heard], Tell, _time, longest ?? OutsideCommand.LongestTone);

    private void Tell(string why) => _told.Add(why);
}
