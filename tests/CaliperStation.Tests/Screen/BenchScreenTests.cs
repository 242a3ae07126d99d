using CaliperStation.Core.Bench;
using CaliperStation.Screen;
using Terminal.Gui.App;
using Terminal.Gui.Drivers;
using Terminal.Gui.Input;
using Terminal.Gui.Testing;

namespace CaliperStation.Tests.Screen;

/// <summary>The whole screen with the kit's own loop, without a terminal.</summary>
[Collection(KitCollection.Name)]
public sealed class BenchScreenTests : IDisposable
{
    private readonly IApplication _app;
    private readonly BenchScreen _screen;
    private readonly Timer _atWorst;
    private string _seen = string.Empty;

    public BenchScreenTests()
    {
        BenchScreen.Prepare(BenchColours.Sixteen);
        _app = Application.Create();
        _app.Init(DriverRegistry.Names.ANSI);
        _screen = BenchScreen.Over(_app, BenchSamples.Reading, BenchColours.Sixteen);
        _atWorst = new Timer(_ => _screen.Close(), null, 30_000, -1);
    }

    public void Dispose()
    {
        _atWorst.Dispose();
        _screen.Dispose();
    }

    [Fact]
    public void A_model_posted_from_another_thread_is_drawn_and_only_the_newest_of_many()
    {
        Aside(() =>
        {
            for (int index = 0; index <= 100; index++)
            {
                _screen.Post(BenchSamples.Reading with { Message = $"number {index}." });
            }

            _screen.Bell([3]);
            _app.Invoke(() => _seen = _app.Driver!.ToString()!);
            _screen.Close();
        });
        _screen.Run(_ => { });
        Assert.Contains("number 100.", _seen, StringComparison.Ordinal);
        Assert.Equal(ScreenEnd.Closed, _screen.EndedBy);
    }

    [Fact]
    public void A_stop_key_is_told_and_ends_the_screen()
    {
        List<BenchInput> intents = [];
        Aside(() => _app.Invoke(() => _app.InjectKey(Key.F12)));
        _screen.Run(intents.Add);
        Assert.Equal([new BenchInput.Says(new Answer.Stop())], intents);
        Assert.Equal(ScreenEnd.StopKey, _screen.EndedBy);
    }

    [Fact]
    public void What_the_receiver_throws_comes_out_after_the_terminal_was_given_back()
    {
        Aside(() => _app.Invoke(() => _app.InjectKey(Key.Enter)));
        IOException thrown = Assert.Throws<IOException>(() => _screen.Run(_ => throw new IOException("the store is full")));
        Assert.Equal("the store is full", thrown.Message);
        Assert.False(_app.Initialized);
    }

    [Fact]
    public void Nothing_happens_to_those_who_post_after_the_end()
    {
        Aside(_screen.Close);
        _screen.Run(_ => { });
        _screen.Post(BenchSamples.Ready);
        _screen.Bell([1]);
        _screen.Close();
        _screen.Dispose();
        Assert.False(_app.Initialized);
    }

    [Fact]
    public void Without_a_terminal_no_screen_is_opened() => Assert.Null(BenchScreen.TryOpen(BenchSamples.Ready, ScreenSettings.Usual));

    private static void Aside(Action action)
    {
        Thread thread = new(() => action()) { IsBackground = true };
        thread.Start();
        thread.Join();
    }
}
